//! 'What does the motor give?' Thrust, speeds, time in the air, margins of
//! current, and curves over the airspeed. All of it comes late.

use leptos::prelude::*;
use sim_core::aero::device::CommandEdges;
use sim_core::assess::{NextPropeller, Performance, PowerStudy};

use super::power_curves::{Plot, curves};
use super::sureness::older;
use super::{panel, readout};
use crate::state::Sheet;
use crate::text::{self, answer, power as words, question};

pub fn power(sheet: Sheet) -> impl IntoView {
    let late = sheet.late;
    let powered = sheet.watch(|a| !a.propulsion.is_empty());
    let performance = move || match late.performance.get() {
        None => view! { <p class="note">{words::COMING}</p> }.into_any(),
        Some(dated) => performance_view(sheet, &dated.result).into_any(),
    };
    let propellers = move || {
        let dated = late.power.get()?;
        Some(propellers_view(&dated.result))
    };
    let figures = move || {
        let plots = if powered.get() { Plot::POWERED } else { Plot::GLIDER };
        plots.iter().map(|&plot| curves(sheet, plot)).collect_view()
    };
    panel(
        "power",
        question::POWER,
        view! {
            {older(sheet, late.performance)}
            {move || (!powered.get()).then(|| view! { <p class="lede">{words::GLIDER}</p> })}
            {performance}
            {propellers}
            <h3>{words::SPEEDS}</h3>
            {figures}
        },
    )
}

fn performance_view(sheet: Sheet, p: &Performance) -> impl IntoView + use<> {
    let units = p.units.iter().map(|unit| {
        let current = (unit.static_current_a > 0.0).then(|| {
            let current = words::each(words::amperes(unit.static_current_a), unit.propellers);
            readout(words::CURRENT, current, words::watts(unit.static_power_w))
        });
        let time = unit.flight_time_cruise_s.map(|time_s| {
            readout(
                words::TIME_CRUISE,
                words::minutes(time_s),
                words::at_current(unit.cruise_current_a),
            )
        });
        let full = unit
            .flight_time_full_s
            .map(|time_s| readout(words::TIME_FULL, words::minutes(time_s), words::TIME_MEANING));
        let thrust = words::each(words::newtons(unit.static_thrust_n), unit.propellers);
        view! {
            {readout(words::STATIC_THRUST, thrust, unit_name(sheet, unit.unit))}
            {current}
            {time}
            {full}
        }
    });
    let throttle = sheet.outcome.with_untracked(|o| {
        o.assessment.as_ref().map(|a| (a.trim.controls.throttle, a.trim.airspeed_m_s))
    });
    let throttle = throttle.filter(|_| !p.units.is_empty()).map(|(share, speed)| {
        readout(words::LEVEL_THROTTLE, text::percent(share), words::at_speed(speed))
    });
    let of_weight = (!p.units.is_empty()).then(|| {
        readout(
            words::OF_WEIGHT,
            answer::times_weight(p.thrust_over_weight),
            words::OF_WEIGHT_MEANING,
        )
    });
    let fastest = p
        .max_level_airspeed_m_s
        .map(|speed| readout(words::TOP_SPEED, answer::speed(speed), words::TOP_SPEED_MEANING));
    let climb = p
        .climb_m_s
        .zip(p.climb_airspeed_m_s)
        .map(|(rate, speed)| readout(words::CLIMB, words::climb(rate), words::at_speed(speed)));
    let glide = p.best_glide.map(|glide| {
        readout(words::GLIDE, words::glide(glide.ratio), words::at_speed(glide.airspeed_m_s))
    });
    let sink = p.least_sink.map(|glide| {
        readout(words::SINK, words::climb(glide.sink_m_s), words::at_speed(glide.airspeed_m_s))
    });
    let edges = sheet.outcome.with_untracked(|o| o.assessment.as_ref().map(|a| a.edges));
    view! {
        <dl class="readouts">
            {units.collect_view()} {of_weight} {throttle} {fastest} {climb} {glide} {sink}
        </dl>
        {limits_view(p)}
        {edges.map(|edges| thrust_line_view(p, edges))}
    }
}

/// Names the unit where there are several of them.
fn unit_name(sheet: Sheet, unit: usize) -> String {
    sheet.design.with_untracked(|d| {
        d.aircraft.propulsion.get(unit).map(|own| own.name.clone()).unwrap_or_default()
    })
}

fn limits_view(p: &Performance) -> impl IntoView + use<> {
    let findings: Vec<_> = p.units.iter().flat_map(|unit| &unit.findings).copied().collect();
    (!findings.is_empty()).then(|| {
        let list = findings.into_iter().map(|finding| {
            let class = if words::is_warning(&finding) { "conflict" } else { "fine" };
            view! { <p class=class>{words::finding(&finding)}</p> }
        });
        view! { <h3>{words::LIMITS}</h3> {list.collect_view()} }
    })
}

fn thrust_line_view(p: &Performance, edges: CommandEdges) -> impl IntoView + use<> {
    let angles = p.thrust_angles?;
    Some(view! {
        <h3>{words::THRUST_LINE}</h3>
        <p>{words::down_thrust(&angles)}</p>
        <p>{words::right_thrust(&angles)}</p>
        {p.elevator_with_power_rad.map(|rad| view! { <p>{words::elevator_with_power(rad, edges)}</p> })}
        {p.rudder_with_power_rad.map(|rad| view! { <p>{words::rudder_with_power(rad, edges)}</p> })}
    })
}

fn propellers_view(study: &PowerStudy) -> impl IntoView + use<> {
    let next: Vec<NextPropeller> = study.units.iter().filter_map(|unit| unit.next).collect();
    (!next.is_empty()).then(|| {
        view! {
            <h3>{words::PROPELLER}</h3>
            {next.iter().map(propeller_view).collect_view()}
        }
    })
}

fn propeller_view(next: &NextPropeller) -> impl IntoView + use<> {
    let (present, larger) = (next.present, next.larger);
    let row = |name: &'static str, present: String, larger: String| {
        view! { <tr><th scope="row">{name}</th><td>{present}</td><td>{larger}</td></tr> }
    };
    let electric = (present.motor_current_a > 0.0).then(|| {
        view! {
            {row(
                words::MOTOR_CURRENT,
                words::amperes(present.motor_current_a),
                words::amperes(larger.motor_current_a),
            )}
            {row(
                words::PACK_POWER,
                words::watts(present.electrical_power_w),
                words::watts(larger.electrical_power_w),
            )}
        }
    });
    view! {
        <table class="intervals">
            <thead>
                <tr>
                    <th scope="col">{words::STANDING_STILL}</th>
                    <th scope="col">{words::PRESENT}</th>
                    <th scope="col">{words::LARGER}</th>
                </tr>
            </thead>
            <tbody>
                {row(
                    words::THRUST,
                    words::newtons(present.thrust_n),
                    words::newtons(larger.thrust_n),
                )}
                {electric}
            </tbody>
        </table>
        <p>{words::next_propeller(next)}</p>
    }
}
