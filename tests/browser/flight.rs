//! The field: a flight by scripted keys, seen from each view, on desk and
//! phone; the model in space on the bench.

use std::time::Duration;

use serde_json::json;
use tokio::time::sleep;

use crate::session::Session;

/// Lets a key go down or up, as on a keyboard.
async fn key(session: &Session, kind: &str, code: &str) {
    let script = format!(
        "window.dispatchEvent(new KeyboardEvent('{kind}', {{ code: '{code}', key: '{code}', bubbles: true }}))"
    );
    session.ask(&script).await;
}

async fn hold(session: &Session, code: &str, time: Duration) {
    key(session, "keydown", code).await;
    sleep(time).await;
    key(session, "keyup", code).await;
}

/// The number that a reading begins with.
async fn reading(session: &Session, name: &str) -> f64 {
    let text = session.text(&format!("#read-{name}")).await.replace('\u{2212}', "-");
    let number = text.split_whitespace().next().unwrap_or_default().parse::<f64>();
    number.unwrap_or_else(|_| panic!("{name} reads '{text}'"))
}

async fn open_field(session: &Session) {
    session.ask("document.querySelector('.panel-fly > .fly-button').click()").await;
    session.wait_for(".flight canvas").await;
    session
        .wait_until(
            "the first reading",
            "return document.querySelector('#read-speed').innerText.includes('m/s')",
        )
        .await;
}

#[tokio::test]
async fn flies_by_keys_and_reads_finite_numbers() {
    let session = Session::open(1440, 900, 1.0).await;
    open_field(&session).await;
    let second = Duration::from_secs(1);
    key(&session, "keydown", "KeyW").await;
    // The lever follows the clock of the flight, which a busy machine slows.
    session
        .wait_until(
            "full throttle",
            "return document.querySelector('#read-throttle').innerText.startsWith('100')",
        )
        .await;
    key(&session, "keyup", "KeyW").await;
    for view in ["Digit2", "Digit3", "Digit1"] {
        key(&session, "keydown", view).await;
        hold(&session, "ArrowDown", second / 10).await;
        hold(&session, "ArrowLeft", second / 10).await;
        sleep(second).await;
        for name in ["speed", "height", "climb", "throttle", "battery", "pull"] {
            assert!(reading(&session, name).await.is_finite(), "{name}");
        }
    }
    assert_eq!(reading(&session, "throttle").await, 100.0);
    assert!(reading(&session, "speed").await > 3.0, "full throttle moves it");
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
    hold(&session, "KeyW", Duration::from_secs(2)).await;
    sleep(Duration::from_secs(3)).await;
    session
        .ask("[...document.querySelectorAll('.flight-buttons button')].find(b => b.innerText === 'Debrief').click()")
        .await;
    session.wait_for(".flight-debrief canvas").await;
    session.check_width().await;
    assert!(session.text(".flight-cautions").await.contains("balance point"));
    key(&session, "keydown", "Escape").await;
    session.wait_until("the page again", "return !document.querySelector('.flight')").await;
    session.check_console().await;
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
