//! The field: a flight by scripted keys, seen from each view, on desk and
//! phone; what happens to it when nobody looks; the model in space on the bench.

use std::time::Duration;

use serde_json::json;

use crate::field::{
    full_throttle, hold, key, open_by, open_field, press_named, reading, wait_for_prompt,
    wait_for_reading,
};
use crate::session::Session;

#[tokio::test]
async fn timed_flight_by_keys_reads_finite_numbers() {
    let session = Session::open(1440, 900, 1.0).await;
    open_field(&session).await;
    full_throttle(&session).await;
    // Full throttle moves it.
    wait_for_reading(&session, "speed", 3.0, 40.0).await;
    let tap = Duration::from_millis(100);
    for view in ["Digit2", "Digit3", "Digit1"] {
        key(&session, "keydown", view).await;
        hold(&session, "ArrowDown", tap).await;
        hold(&session, "ArrowLeft", tap).await;
        let painted = "const before = window.seen ?? '';
             window.seen = document.querySelector('.flight-readings').textContent;
             return window.seen !== before;";
        session.wait_until("new readings", painted).await;
        for name in ["speed", "height", "climb", "throttle", "battery", "pull"] {
            assert!(reading(&session, name).await.is_finite(), "{name}");
        }
    }
    session.wait_until("times of frames", "return 'frameMs' in document.body.dataset").await;
    let times = session
        .ask("const d = document.body.dataset; return [d.frameMs, d.frameSlowMs, d.frameWorkMs, d.fineness].join(' ')")
        .await;
    println!(
        "frames: median ms, 95th percentile ms, own work 95th percentile ms, fineness: {times}"
    );
    session.check_console().await;
    session.close().await;
}

#[tokio::test]
async fn a_flight_ends_in_a_debrief_on_the_phone() {
    let session = Session::open(390, 844, 2.0).await;
    session.ask("document.querySelector('.parts [aria-controls=answers]').click()").await;
    open_field(&session).await;
    session.check_width().await;
    full_throttle(&session).await;
    wait_for_reading(&session, "speed", 3.0, 40.0).await;
    press_named(&session, "Debrief").await;
    session.wait_for(".flight-debrief canvas").await;
    session.check_width().await;
    assert!(session.text(".flight-cautions").await.contains("spotter"));
    key(&session, "keydown", "Escape").await;
    session.wait_until("the page again", "return !document.querySelector('.flight')").await;
    session.check_console().await;
    session.close().await;
}

/// Nobody flies what cannot be seen: time stands while the page is hidden.
#[tokio::test]
async fn a_flight_rests_while_its_page_is_hidden() {
    let session = Session::open(1440, 900, 1.0).await;
    open_field(&session).await;
    full_throttle(&session).await;
    let hide = |hidden: bool| {
        format!(
            "Object.defineProperty(document, 'hidden', {{ value: {hidden}, configurable: true }});
             document.dispatchEvent(new Event('visibilitychange', {{ bubbles: true }}))"
        )
    };
    session.ask(&hide(true)).await;
    wait_for_prompt(&session, "Paused").await;
    session.ask(&hide(false)).await;
    // It waits for the pilot, and the sticks with it.
    key(&session, "keydown", "KeyX").await;
    wait_for_prompt(&session, "Paused").await;
    assert_eq!(reading(&session, "throttle").await, 100.0);
    press_named(&session, "Go on").await;
    wait_for_reading(&session, "throttle", 0.0, 0.0).await;
    session.check_console().await;
    session.close().await;
}

/// A page that was held up for seconds goes on from where it was.
#[tokio::test]
async fn timed_long_frame_costs_no_flight() {
    let session = Session::open(1440, 900, 1.0).await;
    open_by(&session, "[aria-label=\"Try it: Coming towards you\"]").await;
    let left = "parseInt(document.querySelector('.flight-left').textContent)";
    session.wait_until("the clock", &format!("return {left} > 0")).await;
    let lost = session
        .ask(&format!(
            "const before = {left};
             for (const end = performance.now() + 5000; performance.now() < end;);
             return new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() =>
                 requestAnimationFrame(() => done(before - {left})))));"
        ))
        .await;
    // Five seconds passed on the wall. Three frames of a quarter of a second at
    // the most, what was read off a frame late, and whole seconds.
    assert!(lost.as_f64().unwrap() <= 2.0, "{lost} s lost");
    session.close().await;
}

#[tokio::test]
async fn a_flight_comes_back_after_the_card_was_lost() {
    let session = Session::open(1440, 900, 1.0).await;
    open_field(&session).await;
    session
        .ask(
            "window.lose = document.querySelector('.flight > canvas').getContext('webgl2')
                 .getExtension('WEBGL_lose_context');
             window.lose.loseContext()",
        )
        .await;
    let hidden = "document.querySelector('.flight-trouble').hidden";
    session.wait_until("a message", &format!("return !{hidden}")).await;
    session.ask("window.lose.restoreContext()").await;
    session.wait_until("the picture", &format!("return {hidden}")).await;
    wait_for_prompt(&session, "Paused").await;
    press_named(&session, "Go on").await;
    full_throttle(&session).await;
    wait_for_reading(&session, "speed", 3.0, 40.0).await;
    session.close().await;
}

#[tokio::test]
async fn the_model_comes_back_after_the_card_was_lost() {
    let session = Session::open(1440, 900, 1.0).await;
    session.ask("document.querySelector('.spatial').scrollIntoView()").await;
    let hidden = "document.querySelector('.spatial-trouble').hidden";
    session
        .ask(
            "window.lose = document.querySelector('.spatial canvas').getContext('webgl2')
                 .getExtension('WEBGL_lose_context');
             window.lose.loseContext()",
        )
        .await;
    session.wait_until("a message", &format!("return !{hidden}")).await;
    session.ask("window.lose.restoreContext()").await;
    session.wait_until("the picture", &format!("return {hidden}")).await;
    assert_eq!(
        session.ask("return document.querySelector('.spatial canvas').width > 300").await,
        json!(true)
    );
    session.close().await;
}
