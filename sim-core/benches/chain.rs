//! What each stage of the chain costs, on the trainer example.
//!
//! `cargo bench -p sim-core`. Goals: one evaluation of the forces with about
//! 150 boxes in 20 us once attached, the whole chain in 5 ms.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use sim_core::aero::grid::GridOptions;
use sim_core::aero::{AeroModel, AeroOptions};
use sim_core::aircraft::{EXAMPLES, SoundAircraft, read_aircraft};
use sim_core::analysis::{
    Channel, FlightPoint, Input, LinearOptions, ResponseOptions, TrimTask, derivatives, find_modes,
    linearise, solve_trim, step_response,
};
use sim_core::assess::{Question, aeroplane, assess, find_stall, flight_point, reference_sizes};
use sim_core::atmosphere::Atmosphere;
use sim_core::dynamics::{Air, Airframe};
use sim_core::power::PropellerTable;

/// About 150 boxes, as the goal has it.
const FINER: GridOptions = GridOptions { strips: 16, strips_min: 6, boxes: 3 };

fn trainer() -> SoundAircraft {
    read_aircraft(EXAMPLES[0].text).unwrap().check().unwrap()
}

fn evaluation(criterion: &mut Criterion) {
    let (aircraft, question) = (trainer(), Question::default());
    let trim = assess(&aircraft, &question).unwrap().trim;
    for (name, grid) in [("default", GridOptions::default()), ("150 boxes", FINER)] {
        let aeroplane = aeroplane(&aircraft, &question, grid).unwrap();
        let cruise = flight_point(&trim);
        let stalled = FlightPoint { alpha_rad: 0.35, ..cruise };
        for (state, point) in [("attached", cruise), ("stalled", stalled)] {
            let (air, controls) = (point.air(), point.controls);
            criterion.bench_function(&format!("forces, {state}, {name} grid"), |b| {
                b.iter(|| aeroplane.loads(black_box(&air), black_box(&controls)));
            });
        }
    }
}

fn set_up(criterion: &mut Criterion) {
    let (aircraft, question) = (trainer(), Question::default());
    let balance_point = assess(&aircraft, &question).unwrap().mass.balance_point;
    for (name, grid) in [("default", GridOptions::default()), ("150 boxes", FINER)] {
        let options = AeroOptions {
            grid,
            airspeed_m_s: 12.0,
            kinematic_viscosity_m2_s: 1.46e-5,
            wake_alpha_rad: 0.03,
        };
        criterion.bench_function(&format!("lattice, {name} grid"), |b| {
            b.iter(|| AeroModel::new(black_box(&aircraft), balance_point, options).unwrap());
        });
    }
    criterion.bench_function("propeller table", |b| {
        b.iter(|| PropellerTable::new(black_box(&aircraft.propulsion[0].propeller)).unwrap());
    });
    criterion.bench_function("read and check the file", |b| {
        b.iter(|| read_aircraft(black_box(EXAMPLES[0].text)).unwrap().check().unwrap());
    });
}

fn stages(criterion: &mut Criterion) {
    let (aircraft, question) = (trainer(), Question::default());
    let aeroplane = aeroplane(&aircraft, &question, GridOptions::default()).unwrap();
    let sizes = reference_sizes(&aircraft);
    let atmosphere = Atmosphere::sea_level();
    let assessment = assess(&aircraft, &question).unwrap();
    let trim = &assessment.trim;
    let task = TrimTask::level(trim.airspeed_m_s, Air::still(&atmosphere));
    criterion.bench_function("stall", |b| {
        b.iter(|| find_stall(&aeroplane, &sizes, &atmosphere, 0.5).unwrap());
    });
    criterion.bench_function("trim, from nothing", |b| {
        b.iter(|| solve_trim(&aeroplane, black_box(&task), None).unwrap());
    });
    criterion.bench_function("trim, from its neighbour", |b| {
        b.iter(|| solve_trim(&aeroplane, black_box(&task), Some(trim)).unwrap());
    });
    criterion.bench_function("derivatives", |b| {
        b.iter(|| derivatives(&aeroplane, &flight_point(trim), &sizes));
    });
    criterion.bench_function("linear model", |b| {
        b.iter(|| linearise(&aeroplane, trim, &LinearOptions::default()).unwrap());
    });
    criterion.bench_function("modes", |b| b.iter(|| find_modes(&assessment.linear).unwrap()));
    let options = ResponseOptions {
        duration_s: 1.6,
        step_s: 0.04,
        sample_s: 0.04,
        ..ResponseOptions::step(Channel::Elevator, Input::Deflection(-0.05))
    };
    criterion.bench_function("response to a step", |b| {
        b.iter(|| step_response(&aeroplane, trim, &options).unwrap());
    });
    criterion.bench_function("the whole chain", |b| {
        b.iter(|| assess(black_box(&aircraft), &question).unwrap());
    });
}

criterion_group!(benches, evaluation, set_up, stages);
criterion_main!(benches);
