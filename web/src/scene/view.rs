//! The panel with the aeroplane in space: turned by finger, mouse or keys; plays
//! the answer to a stick step, and where the stall begins.

mod painter;

use std::sync::Arc;

use leptos::html::Canvas;
use leptos::prelude::*;
use sim_core::aero::grid::GridOptions;
use sim_core::aircraft::SurfaceRole;
use sim_core::analysis::Channel;
use sim_core::assess::{Assessment, StallSpread, aeroplane, spread_of_stall};
use wasm_bindgen::JsCast;

use super::plan;
use super::stage::{Sight, Stage, wants_stillness};
use super::stall::gone_over_span;
use crate::state::Sheet;
use crate::state::compute::{Outcome, after_drawing};
use crate::state::live::{effect, memo};
use crate::state::measure::parse;
use crate::text::spatial as words;
use crate::view::segments::segment;
use crate::view::sight;
use painter::{BenchPainter, Shown};

/// What the panel plays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Play {
    Rest,
    Response(Channel),
    Stall,
}

type BenchStage = StoredValue<Stage<BenchPainter>, LocalStorage>;

/// The signals of the panel.
#[derive(Clone, Copy)]
struct Panel {
    stage: BenchStage,
    sight: RwSignal<Sight>,
    play: RwSignal<Play>,
    running: RwSignal<bool>,
    /// Place in what is played, 0 to 1.
    place: RwSignal<f64>,
    spread: RwSignal<Option<Arc<StallSpread>>>,
}

/// The panel.
pub fn spatial(sheet: Sheet) -> impl IntoView {
    let sight = RwSignal::new(Sight::Fine);
    let (place, running) = (RwSignal::new(0.0), RwSignal::new(false));
    let stage = Stage::new(BenchPainter::new(place, running), sight);
    let panel = Panel {
        stage: StoredValue::new_local(stage),
        sight,
        play: RwSignal::new(Play::Rest),
        running,
        place,
        spread: RwSignal::new(None),
    };
    show_changes(sheet, panel);
    let choices = memo(move || {
        let channels = sheet
            .outcome
            .with(|o| o.assessment.as_ref().map(Assessment::channels).unwrap_or_default());
        let mut choices = vec![Play::Rest];
        choices.extend(channels.into_iter().map(Play::Response));
        choices.push(Play::Stall);
        choices
    });
    view! {
        <section class="panel drawing spatial" id="spatial" aria-labelledby="spatial-heading">
            <h2 id="spatial-heading">{words::SPATIAL}</h2>
            {picture(panel)}
            <fieldset class="segments spatial-choice">
                <legend>{words::PLAYS}</legend>
                <div>
                    {move || choices.get().into_iter().map(|c| choice(panel, c)).collect_view()}
                </div>
            </fieldset>
            {player(panel)}
            <p class="note" role="status">{move || in_words(sheet, panel)}</p>
        </section>
    }
}

fn show_changes(sheet: Sheet, panel: Panel) {
    // A new aeroplane goes to the card; what was played keeps playing.
    let mut opened = false;
    effect(move || {
        let outcome = sheet.outcome.get();
        let play = panel.play.get();
        let spread = (play == Play::Stall).then(|| spread(sheet, &outcome)).flatten();
        panel.spread.set(spread.clone());
        let shown = shown(&outcome, play, spread);
        let show = move || {
            let _ = panel.stage.try_with_value(|stage| {
                stage.change_at_rest(|painter, _| painter.show(outcome, shown));
            });
        };
        // The page is drawn before its first picture; later ones come a frame
        // after the rest anyway.
        if std::mem::replace(&mut opened, true) { show() } else { after_drawing(show) }
    });
    effect(move || {
        panel.place.track();
        panel.running.track();
        panel.stage.with_value(Stage::wake);
    });
    on_cleanup(move || {
        // Already gone where the whole page is.
        let _ = panel.stage.try_with_value(Stage::close);
    });
}

fn shown(outcome: &Outcome, play: Play, spread: Option<Arc<StallSpread>>) -> Shown {
    let response = |channel: Channel| {
        let assessment = outcome.assessment.as_ref()?;
        let measured = assessment.responses.iter().find(|r| r.response.channel == channel)?;
        Some(Shown::Response(Box::new(measured.response.clone())))
    };
    match play {
        Play::Rest => Shown::Rest,
        Play::Response(channel) => response(channel).unwrap_or(Shown::Rest),
        Play::Stall => spread.map_or(Shown::Rest, Shown::Stall),
    }
}

fn spread(sheet: Sheet, outcome: &Outcome) -> Option<Arc<StallSpread>> {
    let (sound, assessment) = (outcome.sound.as_ref()?, outcome.assessment.as_ref()?);
    let question = sheet.design.with_untracked(|design| design.question);
    let aeroplane = aeroplane(sound, &question, GridOptions::default()).ok()?;
    Some(Arc::new(spread_of_stall(&aeroplane, &assessment.stall, &assessment.atmosphere)))
}

fn choice(panel: Panel, play: Play) -> impl IntoView {
    let name = match play {
        Play::Rest => words::PLAY_REST,
        Play::Response(channel) => words::play_step(channel),
        Play::Stall => words::PLAY_STALL,
    };
    segment(
        "play",
        format!("play-{}", name.to_ascii_lowercase()),
        name,
        move || panel.play.get() == play,
        move || {
            panel.play.set(play);
            panel.place.set(0.0);
            panel.running.set(play != Play::Rest && !wants_stillness());
        },
    )
}

/// Play, pause, and a slider through time.
fn player(panel: Panel) -> impl IntoView {
    let moved = move |event| {
        if let Some(place) = parse(&event_target_value(&event)) {
            panel.running.set(false);
            panel.place.set(place.clamp(0.0, 1.0));
        }
    };
    let press = move |_| {
        if panel.place.get_untracked() >= 1.0 {
            panel.place.set(0.0);
        }
        panel.running.update(|running| *running = !*running);
    };
    view! {
        <div class="player" hidden=move || panel.play.get() == Play::Rest>
            <button type="button" on:click=press>
                {move || if panel.running.get() { words::PAUSE } else { words::PLAY }}
            </button>
            <input
                type="range"
                aria-label=words::PLACE_IN_TIME
                min="0"
                max="1"
                step="0.01"
                prop:value=move || panel.place.get().to_string()
                on:input=moved
            />
        </div>
    }
}

/// What is seen, for those who cannot see it, and as a caption.
fn in_words(sheet: Sheet, panel: Panel) -> String {
    let place = panel.place.get();
    match panel.play.get() {
        Play::Rest => words::turn_it(),
        Play::Response(channel) => sheet.outcome.with(|outcome| {
            let measured = outcome
                .assessment
                .as_ref()
                .and_then(|a| a.responses.iter().find(|r| r.response.channel == channel));
            measured.map_or_else(String::new, |measured| {
                let response = &measured.response;
                let last = response.time_s.len().saturating_sub(1);
                let at = ((place * last as f64).round() as usize).min(last);
                words::response_at(
                    response.time_s[at],
                    response.bank_rad[at],
                    response.pitch_rad[at] - response.pitch_rad[0],
                    response.heading_rad[at],
                )
            })
        }),
        Play::Stall => panel.spread.with(|spread| {
            let Some(spread) = spread else { return String::new() };
            let last = spread.steps.len().saturating_sub(1);
            let at = ((place * last as f64).round() as usize).min(last);
            let wing = sheet.outcome.with(|outcome| {
                let surfaces = outcome.sound.as_ref().map(|sound| &sound.surfaces)?;
                surfaces.iter().position(|s| s.role == SurfaceRole::Wing)
            });
            let gone = gone_over_span(spread, at, wing.unwrap_or(0));
            words::stall_at(spread.steps[at].alpha_rad, gone)
        }),
    }
}

/// The canvas with all ways to turn it.
fn picture(panel: Panel) -> impl IntoView {
    let canvas = NodeRef::<Canvas>::new();
    effect(move || {
        if let Some(canvas) = canvas.get() {
            panel.stage.with_value(|stage| stage.open(canvas.unchecked_into()));
        }
    });
    let frame = NodeRef::new();
    let width = crate::view::drawing::width_of(frame);
    effect(move || {
        width.track();
        panel.stage.with_value(Stage::wake);
    });
    watch_theme(panel);
    watch_visibility(panel, canvas);
    let turn = move |around: f32, above: f32, zoom: f32| {
        panel.stage.with_value(|stage| {
            stage.change(|painter, _| painter.orbit = painter.orbit.moved(around, above, zoom));
        });
    };
    let fingers = StoredValue::new(Fingers::default());
    let moved = move |event: leptos::ev::PointerEvent| {
        let at = (event.client_x() as f32, event.client_y() as f32);
        let turned = fingers.try_update_value(|fingers| fingers.drag(event.pointer_id(), at));
        if let Some(Some((dx, dy, zoom))) = turned {
            turn(-dx * TURN_PER_PX, dy * TURN_PER_PX, zoom);
        }
    };
    let lift = move |event: leptos::ev::PointerEvent| {
        fingers.update_value(|fingers| fingers.lift(event.pointer_id()));
    };
    let press = move |event: leptos::ev::PointerEvent| {
        let at = (event.client_x() as f32, event.client_y() as f32);
        fingers.update_value(|fingers| fingers.press(event.pointer_id(), at));
        if let Some(canvas) = canvas.get_untracked() {
            // Without capture the turn ends at the edge of the picture.
            let _ = canvas.set_pointer_capture(event.pointer_id());
        }
    };
    let key = move |event: leptos::ev::KeyboardEvent| {
        if let Some((around, above, zoom)) = turn_by_key(&event.key()) {
            event.prevent_default();
            turn(around, above, zoom);
        }
    };
    view! {
        <div class="spatial-picture" node_ref=frame>
            <canvas
                node_ref=canvas
                tabindex="0"
                role="img"
                aria-label=words::SPATIAL_DESCRIPTION
                on:pointerdown=press
                on:pointermove=moved
                on:pointerup=lift
                on:pointercancel=lift
                on:keydown=key
                on:webglcontextlost=move |event: web_sys::CustomEvent| {
                    event.prevent_default();
                    panel.stage.with_value(Stage::lose);
                }
                on:webglcontextrestored=move |_: web_sys::CustomEvent| {
                    panel.stage.with_value(Stage::restore);
                }
            ></canvas>
            <p class="spatial-trouble" role="status" hidden=move || panel.sight.get() == Sight::Fine>
                {move || words::sight(&panel.sight.get())}
            </p>
        </div>
    }
}

/// How far a key turns the picture, and draws it nearer.
fn turn_by_key(key: &str) -> Option<(f32, f32, f32)> {
    match key {
        "ArrowLeft" => Some((KEY_TURN, 0.0, 0.0)),
        "ArrowRight" => Some((-KEY_TURN, 0.0, 0.0)),
        "ArrowUp" => Some((0.0, KEY_TURN, 0.0)),
        "ArrowDown" => Some((0.0, -KEY_TURN, 0.0)),
        "+" | "=" => Some((0.0, 0.0, -KEY_TURN)),
        "-" => Some((0.0, 0.0, KEY_TURN)),
        _ => None,
    }
}

/// Draws only while the picture is on the screen.
fn watch_visibility(panel: Panel, canvas: NodeRef<Canvas>) {
    effect(move || {
        let Some(canvas) = canvas.get() else { return };
        let tell = move |in_sight| {
            let _ = panel.stage.try_with_value(|stage| stage.set_visible(in_sight));
        };
        sight::watch(&canvas, Box::new(tell));
    });
}

/// Draws anew in the colours of day or night.
fn watch_theme(panel: Panel) {
    let Ok(Some(media)) = window().match_media("(prefers-color-scheme: dark)") else { return };
    let changed = wasm_bindgen::closure::Closure::<dyn Fn()>::new(move || {
        let _ = panel.stage.try_with_value(|stage| {
            stage.change(|painter, gpu| painter.set_sheet(plan::Sheet::in_force(), gpu));
        });
    });
    let listener = changed.as_ref().unchecked_ref();
    if media.add_event_listener_with_callback("change", listener).is_ok() {
        // Lives as long as the page.
        changed.forget();
    }
}

/// A turn of the picture for each pixel of a drag, rad.
const TURN_PER_PX: f32 = 0.008;
/// A turn for each press of a key, rad; also a step nearer or farther.
const KEY_TURN: f32 = 0.12;

/// Fingers on the picture: one turns, two draw nearer.
#[derive(Debug, Clone, Default)]
struct Fingers {
    down: Vec<(i32, (f32, f32))>,
}

impl Fingers {
    fn press(&mut self, id: i32, at: (f32, f32)) {
        self.lift(id);
        if self.down.len() < 2 {
            self.down.push((id, at));
        }
    }

    fn lift(&mut self, id: i32) {
        self.down.retain(|finger| finger.0 != id);
    }

    /// How far the picture turns, px, and draws nearer.
    fn drag(&mut self, id: i32, at: (f32, f32)) -> Option<(f32, f32, f32)> {
        let apart = |down: &[(i32, (f32, f32))]| match down {
            [(_, a), (_, b)] => Some((a.0 - b.0).hypot(a.1 - b.1).max(1.0)),
            _ => None,
        };
        let before = apart(&self.down);
        let finger = self.down.iter_mut().find(|finger| finger.0 == id)?;
        let from = std::mem::replace(&mut finger.1, at);
        match (before, apart(&self.down)) {
            (Some(before), Some(after)) => Some((0.0, 0.0, (before / after).ln())),
            _ => Some((at.0 - from.0, at.1 - from.1, 0.0)),
        }
    }
}
