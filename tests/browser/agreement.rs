//! WebAssembly against native: the same errand done by the page and by the core
//! compiled for this machine.
//!
//! Both are IEEE 754 doubles and the same sequence of operations, but sine,
//! exponential and vector products come from other libraries: their last digits
//! differ, and searches that end at a tolerance of 1e-6 or so may amplify it a
//! little. 1e-9 of a value's size, with 1e-12 for what is nothing but rounding.

use std::time::Instant;

use serde_json::{Value, json};
use sim_core::aircraft::{EXAMPLES, SoundAircraft, read_aircraft};
use sim_core::assess::uncertainty::UncertaintyPlan;
use sim_core::assess::{Question, performance, power_study};

use crate::session::Session;

/// As `web/src/state/late/errand.rs` has them.
const SAMPLES: usize = 256;
const SEED: u32 = 1;
/// Times that each is done; the quickest counts, since others use the machine.
const TRIES: usize = 3;
/// How many of the samples: each is a whole assessment with errors put in.
const TRIED: usize = 4;

#[tokio::test]
async fn the_page_computes_what_the_core_computes() {
    let session = Session::open(1440, 900, 1.0).await;
    for example in EXAMPLES {
        let aircraft = read_aircraft(example.text).unwrap().check().unwrap();
        for task in [
            json!("Performance"),
            json!("Power"),
            json!({ "Samples": { "start": 0, "end": TRIED } }),
        ] {
            let mut native = Value::Null;
            let mut native_ms = f64::INFINITY;
            for _ in 0..TRIES {
                let start = Instant::now();
                native = carry_out(&aircraft, &task);
                native_ms = native_ms.min(1e3 * start.elapsed().as_secs_f64());
            }
            let errand = json!({ "run": 1, "design": example.text, "task": task }).to_string();
            let script = format!(
                "return import(location.origin + '/web.js').then(page => {{
                     let quickest = Infinity, reply;
                     for (let i = 0; i < {TRIES}; i++) {{
                         const start = performance.now();
                         reply = page.carry_out_errand({});
                         quickest = Math.min(quickest, performance.now() - start);
                     }}
                     return [quickest, reply];
                 }})",
                json!(errand)
            );
            let (page_ms, reply): (f64, String) =
                serde_json::from_value(session.ask(&script).await).unwrap();
            let reply: Value = serde_json::from_str(&reply).unwrap();
            let answer = reply["answer"].as_object().unwrap_or_else(|| panic!("{reply}"));
            let mut numbers = 0;
            for value in answer.values() {
                compare(&format!("{} {task}", example.key), value, &native, &mut numbers);
            }
            assert!(numbers > 20, "{} {task}: only {numbers} numbers", example.key);
            println!(
                "{} {task}: {numbers} numbers agree; page {page_ms:.0} ms, native test build \
                 {native_ms:.0} ms, ratio {:.2}",
                example.key,
                page_ms / native_ms
            );
        }
    }
    session.close().await;
}

/// What the core compiled for this machine answers.
fn carry_out(aircraft: &SoundAircraft, task: &Value) -> Value {
    let question = Question::default();
    match task.as_str() {
        Some("Performance") => json!(performance(aircraft, &question).unwrap()),
        Some(_) => json!(power_study(aircraft, &question).unwrap()),
        None => {
            let plan = UncertaintyPlan::new(aircraft, &question, SAMPLES, SEED).unwrap();
            json!(plan.run(0..TRIED))
        }
    }
}

/// Every number, word and list of one is that of the other.
fn compare(place: &str, page: &Value, native: &Value, numbers: &mut usize) {
    match (page, native) {
        (Value::Number(one), Value::Number(other)) => {
            let (one, other) = (one.as_f64().unwrap(), other.as_f64().unwrap());
            let allowed = 1e-12 + 1e-9 * other.abs();
            assert!((one - other).abs() <= allowed, "{place}: page {one}, native {other}");
            *numbers += 1;
        }
        (Value::Array(one), Value::Array(other)) => {
            assert_eq!(one.len(), other.len(), "{place}");
            for (index, (one, other)) in one.iter().zip(other).enumerate() {
                compare(&format!("{place}/{index}"), one, other, numbers);
            }
        }
        (Value::Object(one), Value::Object(other)) => {
            assert!(one.keys().eq(other.keys()), "{place}");
            for (key, value) in one {
                compare(&format!("{place}/{key}"), value, &other[key], numbers);
            }
        }
        _ => assert_eq!(page, native, "{place}"),
    }
}
