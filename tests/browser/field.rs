//! What the tests of the field share: keys, readings, the way there.

use std::time::Duration;

use tokio::time::sleep;

use crate::session::Session;

/// Lets a key go down or up, as on a keyboard.
pub async fn key(session: &Session, kind: &str, code: &str) {
    let script = format!(
        "window.dispatchEvent(new KeyboardEvent('{kind}', {{ code: '{code}', key: '{code}', bubbles: true }}))"
    );
    session.ask(&script).await;
}

/// Holds a key for a while.
pub async fn hold(session: &Session, code: &str, time: Duration) {
    key(session, "keydown", code).await;
    sleep(time).await;
    key(session, "keyup", code).await;
}

/// The number that a reading begins with.
pub async fn reading(session: &Session, name: &str) -> f64 {
    let text = session.text(&format!("#read-{name}")).await.replace('\u{2212}', "-");
    let number = text.split_whitespace().next().unwrap_or_default().parse::<f64>();
    number.unwrap_or_else(|_| panic!("{name} reads '{text}'"))
}

/// Waits until a reading lies between two values.
pub async fn wait_for_reading(session: &Session, name: &str, least: f64, most: f64) {
    let script = format!(
        "const text = document.querySelector('#read-{name}').textContent.replace('\u{2212}', '-');
         const value = parseFloat(text);
         return value >= {least} && value <= {most};"
    );
    session.wait_until(&format!("{name} from {least} to {most}"), &script).await;
}

/// Presses what a selector finds, seen or not.
pub async fn press(session: &Session, selector: &str) {
    session.ask(&format!("document.querySelector('{selector}').click()")).await;
}

/// Presses the button of the flight that is named so.
pub async fn press_named(session: &Session, name: &str) {
    let script = format!(
        "[...document.querySelectorAll('.flight button')].find(b => b.textContent.trim() === '{name}').click()"
    );
    session.ask(&script).await;
}

/// Goes to the field by pressing what a selector finds.
pub async fn open_by(session: &Session, selector: &str) {
    session
        .wait_until(
            "a computed aeroplane",
            &format!("return document.querySelector('{selector}')?.disabled === false"),
        )
        .await;
    press(session, selector).await;
    session.wait_for(".flight canvas").await;
    session
        .wait_until(
            "the first reading",
            "return document.querySelector('#read-speed').innerText.includes('m/s')",
        )
        .await;
}

/// Goes to the field for a free flight.
pub async fn open_field(session: &Session) {
    open_by(session, ".panel-fly > .fly-button").await;
}

/// Holds the key for more throttle until it is all there.
pub async fn full_throttle(session: &Session) {
    key(session, "keydown", "KeyW").await;
    wait_for_reading(session, "throttle", 100.0, 100.0).await;
    key(session, "keyup", "KeyW").await;
}

/// Lets two frames be drawn, so that what was asked for has been seen.
pub async fn see_frames(session: &Session) {
    session
        .ask(
            "return new Promise(done => requestAnimationFrame(() =>
                 requestAnimationFrame(() => requestAnimationFrame(() => done(true)))))",
        )
        .await;
}

/// Waits until the flight prompts so.
pub async fn wait_for_prompt(session: &Session, words: &str) {
    let script = format!(
        "const prompt = document.querySelector('.flight-prompt');
         return !prompt.hidden && prompt.textContent.includes('{words}');"
    );
    session.wait_until(words, &script).await;
}
