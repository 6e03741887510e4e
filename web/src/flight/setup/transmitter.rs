//! A transmitter as a joystick: which axis moves what, which way, its centre
//! and ends.

use leptos::prelude::*;

use crate::flight::hands::{PadSeen, pad_seen};
use crate::flight::sticks::pad::{AXES_MAX, Calibration, Function};
use crate::flight::view::Flight;
use crate::state::live::memo;
use crate::text::flight as words;

/// Time between two looks at the transmitter, ms.
const LOOK_MS: u64 = 150;

pub fn transmitter(flight: Flight) -> impl IntoView {
    let seen = RwSignal::new(pad_seen());
    let calibrates = RwSignal::new(false);
    let looks = set_interval_with_handle(
        move || seen.set(pad_seen()),
        std::time::Duration::from_millis(LOOK_MS),
    );
    on_cleanup(move || {
        if let Ok(looks) = looks {
            looks.clear();
        }
    });
    let name = memo(move || seen.with(|s| s.as_ref().map(|s| s.name.clone())));
    let springs = memo(move || seen.with(|s| s.as_ref().is_some_and(|s| s.standard)));
    let press = move |_| {
        let starts = !calibrates.get_untracked();
        calibrates.set(starts);
        flight.with_value(|theatre| {
            theatre.change(|flying, _| {
                let hands = &mut flying.hands;
                if starts {
                    hands.calibration = Some(Calibration::default());
                } else if let (Some(done), Some((_, setup))) =
                    (hands.calibration.take(), &mut hands.pad)
                {
                    setup.calibrate(&done);
                    hands.keep_pad();
                }
            });
        });
    };
    // Which number a stick has is learnt by moving it alone.
    let most_moved = move || {
        seen.track();
        let axis = flight.with_value(|theatre| {
            theatre
                .look(|flying| flying.hands.calibration.as_ref().and_then(Calibration::most_moved))
        });
        axis.map(words::most_moved)
    };
    view! {
        <h3>{words::TRANSMITTER}</h3>
        {move || match name.get() {
            None => view! { <p class="note">{words::NO_TRANSMITTER}</p> }.into_any(),
            Some(name) => view! {
                <p class="note">{name}</p>
                {springs.get().then(|| view! {
                    <p class="note">{words::THROTTLE_SPRINGS} " " {words::PAD_BUTTONS}</p>
                })}
                {Function::ALL.into_iter().enumerate().map(|(i, f)| axis(flight, seen, i, f)).collect_view()}
                <button type="button" on:click=press>
                    {move || if calibrates.get() { words::CALIBRATED } else { words::CALIBRATE }}
                </button>
                <p class="note" role="status" hidden=move || !calibrates.get()>
                    {words::CALIBRATING} " " {most_moved}
                </p>
            }
            .into_any(),
        }}
    }
}

/// One function: its axis and its sense.
fn axis(
    flight: Flight,
    seen: RwSignal<Option<PadSeen>>,
    index: usize,
    function: Function,
) -> impl IntoView {
    let read = move || {
        flight.with_value(|theatre| {
            theatre.look(|flying| flying.hands.pad.as_ref().map(|(_, setup)| setup.axes[index]))
        })
    };
    let chosen = RwSignal::new(read());
    let change = move |change: &dyn Fn(&mut crate::flight::sticks::pad::Axis)| {
        flight.with_value(|theatre| {
            theatre.change(|flying, _| {
                if let Some((_, setup)) = &mut flying.hands.pad {
                    change(&mut setup.axes[index]);
                }
                flying.hands.keep_pad();
            });
        });
        chosen.set(read());
    };
    let count = memo(move || seen.with(|s| s.as_ref().map_or(0, |s| s.readings.len())));
    let reading = move || {
        let axis = read()?.index;
        seen.with(|s| s.as_ref().and_then(|s| s.readings.get(axis).copied()))
    };
    let name = words::function(function);
    view! {
        <div class="axis-row">
            <label>
                <span>{name}</span>
                <select
                    prop:value=move || chosen.get().map_or(0, |axis| axis.index).to_string()
                    on:change=move |event| {
                        if let Ok(to) = event_target_value(&event).parse::<usize>() {
                            change(&|axis| axis.index = to.min(AXES_MAX - 1));
                        }
                    }
                >
                    {move || (0..count.get()).map(|i| view! {
                        <option value=i.to_string() selected=move || chosen.get().is_some_and(|a| a.index == i)>
                            {words::axis(i)}
                        </option>
                    }).collect_view()}
                </select>
            </label>
            <meter min="-1" max="1" prop:value=move || reading().unwrap_or(0.0)></meter>
            <label class="field-flag">
                <input
                    type="checkbox"
                    prop:checked=move || chosen.get().is_some_and(|axis| axis.reversed)
                    on:change=move |event| {
                        let reversed = event_target_checked(&event);
                        change(&|axis| axis.reversed = reversed);
                    }
                />
                {words::REVERSED}
            </label>
        </div>
    }
}
