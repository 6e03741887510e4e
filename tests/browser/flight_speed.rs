//! How fast the flight loop is in WebAssembly.

use crate::session::Session;

/// The goal is 500 on the optimised page with a processor to itself. A shared
/// one is slower and a draft slower still, so the test asks for a twentieth,
/// below which a lesson with its drawing would no longer run smoothly.
const FLOOR: f64 = 25.0;

#[tokio::test]
async fn timed_loop_is_many_times_faster_than_the_flight() {
    let session = Session::open(1440, 900, 1.0).await;
    for (i, example) in sim_core::aircraft::EXAMPLES.iter().enumerate() {
        let fly = format!(
            "return import(location.origin + '/web.js')
                 .then(page => [page.flight_speed({i}, 0), page.flight_speed({i}, 5)])"
        );
        let [calm, gusts]: [f64; 2] =
            serde_json::from_value(session.ask(&fly).await).expect("two numbers");
        println!(
            "{}: {calm:.0} times real time in still air, {gusts:.0} in gusts ({:.0} steps a second)",
            example.key,
            gusts / sim_core::flight::STEP_S
        );
        assert!(calm.min(gusts) > FLOOR, "{}", example.key);
    }
    session.close().await;
}
