//! WebAssembly against native: the same errand done by the page and by the core
//! compiled for this machine.
//!
//! Both are IEEE 754 doubles and the same sequence of operations, but sine,
//! exponential and vector products come from other libraries: their last digits
//! differ, and searches that end at a tolerance of 1e-6 or so may amplify it a
//! little. 1e-9 of a value's size, with 1e-12 for what is nothing but rounding.

use std::time::Instant;

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use sim_core::aircraft::{EXAMPLES, read_aircraft};
use sim_core::assess::uncertainty::{SampleResult, UncertaintyPlan};
use sim_core::assess::{Performance, PowerStudy, Question, performance, power_study};

use crate::session::Session;

/// As `web/src/state/late/errand.rs` has them.
const SAMPLES: usize = 256;
const SEED: u32 = 1;
/// Times that each is done; the quickest counts, since others use the machine.
const TRIES: usize = 3;
/// How many of the samples: each is a whole assessment with errors put in.
const TRIED: usize = 4;

/// Places of the tasks and their answers in `errand.rs`, which page and worker
/// send in place of their names.
const PERFORMANCE: u32 = 0;
const POWER: u32 = 1;
const SAMPLES_OF: u32 = 4;

#[tokio::test]
async fn timed_page_computes_what_the_core_computes() {
    let session = Session::open(1440, 900, 1.0).await;
    for example in EXAMPLES {
        let aircraft = read_aircraft(example.text).unwrap().check().unwrap();
        let question = Question::default();
        let of_key = |what: &str| format!("{}, {what}", example.key);

        let (bytes, page_ms) = ask(&session, &errand(example.text, PERFORMANCE, ())).await;
        let (native, native_ms) = quickest(|| performance(&aircraft, &question).unwrap());
        let page: Performance = reply(&bytes, PERFORMANCE);
        agree(&of_key("performance"), json!(page), json!(native), page_ms / native_ms);

        let (bytes, page_ms) = ask(&session, &errand(example.text, POWER, ())).await;
        let (native, native_ms) = quickest(|| power_study(&aircraft, &question).unwrap());
        let page: PowerStudy = reply(&bytes, POWER);
        agree(&of_key("power"), json!(page), json!(native), page_ms / native_ms);

        let asked = errand(example.text, SAMPLES_OF, 0..TRIED);
        let (bytes, page_ms) = ask(&session, &asked).await;
        let (native, native_ms) = quickest(|| {
            UncertaintyPlan::new(&aircraft, &question, SAMPLES, SEED).unwrap().run(0..TRIED)
        });
        let page: Vec<SampleResult> = reply(&bytes, SAMPLES_OF);
        agree(&of_key("samples"), json!(page), json!(native), page_ms / native_ms);
    }
    session.close().await;
}

fn errand(design: &str, task: u32, of: impl Serialize) -> Vec<u8> {
    const RUN: u32 = 1;
    postcard::to_allocvec(&(RUN, design, task, of)).unwrap()
}

fn reply<T: DeserializeOwned>(bytes: &[u8], task: u32) -> T {
    let (_run, answered, value): (u32, u32, T) = postcard::from_bytes(bytes).unwrap();
    assert_eq!(answered, task);
    value
}

/// What the page answers, and in how many milliseconds.
async fn ask(session: &Session, errand: &[u8]) -> (Vec<u8>, f64) {
    let script = format!(
        "return import(location.origin + '/web.js').then(page => {{
             const errand = new Uint8Array({errand:?});
             let quickest = Infinity, reply;
             for (let i = 0; i < {TRIES}; i++) {{
                 const start = performance.now();
                 reply = page.carry_out_errand(errand);
                 quickest = Math.min(quickest, performance.now() - start);
             }}
             return [Array.from(reply), quickest];
         }})"
    );
    serde_json::from_value(session.ask(&script).await).unwrap()
}

/// What the core compiled for this machine answers, and in how many milliseconds.
fn quickest<T>(work: impl Fn() -> T) -> (T, f64) {
    let timed = || {
        let start = Instant::now();
        let done = work();
        (done, 1e3 * start.elapsed().as_secs_f64())
    };
    (1..TRIES).fold(timed(), |best, _| {
        let next = timed();
        if next.1 < best.1 { next } else { best }
    })
}

fn agree(what: &str, page: Value, native: Value, ratio: f64) {
    let mut numbers = 0;
    compare(what, &page, &native, &mut numbers);
    assert!(numbers > 20, "{what}: only {numbers} numbers");
    println!("{what}: {numbers} numbers agree; page over native test build {ratio:.2}");
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
