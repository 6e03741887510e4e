//! 'Where does it balance?' A ruler along the root chord, the verdict, and a
//! slider for the part that a builder slides.

use leptos::html::Div;
use leptos::prelude::*;
use sim_core::aircraft::{Aircraft, MassStatement, SoundAircraft, Surface, SurfaceRole};
use sim_core::assess::Assessment;
use sim_core::assess::uncertainty::Quantity;

use super::sureness::beside;
use super::{of_assessment, panel, readout};
use crate::plot::ruler::{Marks, Ruler, place};
use crate::state::measure::LENGTH;
use crate::state::{Sheet, fields};
use crate::text::{self, answer, question, word};
use crate::view::drawing::width_of;
use crate::view::slider::slider;

pub fn balance(sheet: Sheet) -> impl IntoView {
    let paper = NodeRef::<Div>::new();
    let width = width_of(paper);
    let ruler = of_assessment(sheet, move |assessment, outcome| {
        let sound = outcome.sound.as_ref()?;
        Some(ruler_view(&place(
            &marks(assessment, sound)?,
            width.get(),
            LENGTH.scale().per_file_unit,
        )))
    });
    let verdict = of_assessment(sheet, |assessment, outcome| {
        let verdict = answer::verdict(&assessment.balance);
        let sign =
            if verdict == answer::Verdict::Inside { "verdict" } else { "verdict verdict-wrong" };
        let part = outcome.sound.as_ref().and_then(|a| part_name(a, assessment.balance.pack_part));
        view! {
            <p class=sign>{answer::verdict_in_words(verdict)}</p>
            <p class="lede">{answer::balance_advice(&assessment.balance, part.as_deref())}</p>
        }
    });
    let numbers = of_assessment(sheet, move |assessment, outcome| {
        let balance = &assessment.balance;
        let behind = outcome.sound.as_ref().map_or(0.0, |a| root_leading_edge_m(a));
        view! {
            <dl class="readouts">
                {readout(
                    word::BALANCE_POINT,
                    (
                        text::millimetres(balance.balance_point_aft_m - behind),
                        beside(sheet, Quantity::BalancePoint),
                    ),
                    word::BEHIND_LEADING_EDGE,
                )}
                {readout(
                    word::WINDOW,
                    text::from_to_millimetres(
                        balance.window_front_aft_m - behind,
                        balance.window_rear_aft_m - behind,
                    ),
                    window_meaning(sheet),
                )}
                {readout(
                    word::STATIC_MARGIN,
                    (
                        answer::static_margin(balance.static_margin),
                        beside(sheet, Quantity::StaticMargin),
                    ),
                    answer::static_margin_meaning(balance.static_margin_power_off),
                )}
            </dl>
        }
    });
    panel(
        "balance",
        question::BALANCE,
        view! {
            <div>{verdict}</div>
            <div class="ruler" node_ref=paper>{ruler}</div>
            {numbers}
            {pack_slider(sheet)}
        },
    )
}

/// Where the window is measured from, and how sure its ends are, once that is
/// known.
fn window_meaning(sheet: Sheet) -> impl IntoView {
    let known = move || sheet.late.spread(Quantity::WindowFront).is_some();
    view! {
        {word::BEHIND_LEADING_EDGE}
        <span class="ends" hidden=move || !known()>
            {word::FRONT_END} " " {beside(sheet, Quantity::WindowFront)} ", " {word::REAR_END} " "
            {beside(sheet, Quantity::WindowRear)}
        </span>
    }
}

fn main_wing(aircraft: &Aircraft) -> Option<&Surface> {
    aircraft.surfaces.iter().find(|s| s.role == SurfaceRole::Wing)
}

/// Where builders start to measure the balance point: the leading edge of the
/// wing's root, m behind the datum.
pub fn root_leading_edge_m(aircraft: &Aircraft) -> f64 {
    main_wing(aircraft).map_or(0.0, |wing| wing.root.aft_m)
}

fn marks(assessment: &Assessment, aircraft: &SoundAircraft) -> Option<Marks> {
    let behind = root_leading_edge_m(aircraft);
    let balance = &assessment.balance;
    Some(Marks {
        chord_m: main_wing(aircraft)?.panels.first()?.root_chord_m,
        balance_point_m: balance.balance_point_aft_m - behind,
        neutral_point_m: balance.neutral_point_aft_m.min(balance.neutral_point_power_off_aft_m)
            - behind,
        window_front_m: balance.window_front_aft_m - behind,
        window_rear_m: balance.window_rear_aft_m - behind,
    })
}

fn part_name(aircraft: &Aircraft, part: Option<usize>) -> Option<String> {
    match &aircraft.mass {
        MassStatement::Parts(parts) => Some(parts.get(part?)?.name.clone()),
        MassStatement::Known(_) => None,
    }
}

/// How far the slider moves the part either way, m.
const SLIDE_M: f64 = 0.15;

/// Slides the pack, as a builder does to bring the balance point right.
fn pack_slider(sheet: Sheet) -> impl IntoView {
    let part = Memo::new(move |_| {
        sheet.outcome.with(|o| {
            let part = o.assessment.as_ref()?.balance.pack_part?;
            Some((part, part_name(o.sound.as_ref()?, Some(part))?))
        })
    });
    move || {
        let (part, name) = part.get()?;
        let place = fields::part_aft(part);
        let now_m = sheet.design.with_untracked(|d| place.field.read(&d.aircraft))?;
        let middle = (now_m * 100.0).round() / 100.0;
        let label = text::slide(&name);
        Some(slider(sheet, place, label, (middle - SLIDE_M, middle + SLIDE_M)))
    }
}

fn ruler_view(ruler: &Ruler) -> impl IntoView + use<> {
    let (front, rear) = ruler.window;
    let (leading, trailing) = ruler.chord;
    let (balance_x, neutral_x) = (ruler.balance_point, ruler.neutral_point);
    let ticks = ruler.ticks.iter().map(|(x, number)| {
        let (x, number) = (*x, number.clone());
        let length = if number.is_some() { 10 } else { 5 };
        view! {
            <path class="ruler-tick" d=format!("M{x:.1} 72v{length}") />
            {number.map(|number| view! { <text class="ruler-number" x=x y=94>{number}</text> })}
        }
    });
    let section = format!(
        "M{leading:.1} 58C{leading:.1} 46 {:.1} 42 {:.1} 44L{trailing:.1} 62L{:.1} 64C{:.1} 68 {leading:.1} 68 {leading:.1} 58Z",
        leading + (trailing - leading) * 0.12,
        leading + (trailing - leading) * 0.32,
        leading + (trailing - leading) * 0.4,
        leading + (trailing - leading) * 0.06,
    );
    view! {
        <svg width="100%" height="118" role="img" aria-label=word::RULER_DESCRIPTION>
            <defs>
                <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
                    <path class="hatch" d="M0 0V6" />
                </pattern>
            </defs>
            <path class="ruler-section" d=section />
            <rect class="ruler-window" x=front y=38 width=(rear - front).max(1.0) height=34 />
            <rect class="ruler-hatch" x=front y=38 width=(rear - front).max(1.0) height=34 fill="url(#hatch)" />
            <path class="ruler-line" d=format!("M{leading:.1} 72H{trailing:.1}") />
            {ticks.collect_view()}
            <text class="ruler-unit" x=0 y=114>{text::ruler_unit()}</text>
            <path class="mark-neutral" d=format!("M{neutral_x:.1} 34v38m-6 -44l6 -8l6 8l-6 8z") />
            <g class="mark-balance" transform=format!("translate({balance_x:.1} 55)")>
                <circle r="9" />
                <path d="M0 0V-9A9 9 0 0 1 9 0ZM0 0V9A9 9 0 0 1 -9 0Z" />
            </g>
            <text class="ruler-mark" x=neutral_x y=8>{word::NEUTRAL_POINT}</text>
        </svg>
    }
}
