//! Hands on the sticks: a transmitter that is assigned and calibrated, thumbs on
//! the glass, stick modes.

use crate::field::{
    key, open_field, press, press_named, see_frames, wait_for_prompt, wait_for_reading,
};
use crate::session::Session;

/// Puts a transmitter of six axes before the page.
const PLUG_IN: &str = "
    window.axes = [0, 0, -1, 0, 1, 0];
    const pad = Object.create(Gamepad.prototype, {
        id: { value: 'Bench transmitter' },
        axes: { get: () => window.axes },
        buttons: { get: () => [] },
        mapping: { value: '' },
        connected: { value: true },
    });
    navigator.getGamepads = () => [null, pad];";

/// Puts a game pad in the browser's standard order before the page.
const PLUG_IN_GAME_PAD: &str = "
    window.buttons = Array.from({ length: 17 }, () => ({ pressed: false }));
    const pad = Object.create(Gamepad.prototype, {
        id: { value: 'Sofa pad' },
        axes: { get: () => [0, 0, 0, 0] },
        buttons: { get: () => window.buttons },
        mapping: { value: 'standard' },
        connected: { value: true },
    });
    navigator.getGamepads = () => [pad];";

/// Presses a button of the game pad for two frames.
async fn press_pad(session: &Session, button: usize) {
    for down in [true, false] {
        session.ask(&format!("window.buttons[{button}].pressed = {down}")).await;
        see_frames(session).await;
    }
}

async fn move_axis(session: &Session, axis: usize, to: f64) {
    session.ask(&format!("window.axes[{axis}] = {to}")).await;
}

#[tokio::test]
async fn a_transmitter_is_assigned_calibrated_and_remembered() {
    let session = Session::open(1440, 900, 1.0).await;
    session.ask(PLUG_IN).await;
    open_field(&session).await;
    move_axis(&session, 2, 1.0).await;
    wait_for_reading(&session, "throttle", 100.0, 100.0).await;
    move_axis(&session, 2, -1.0).await;
    wait_for_reading(&session, "throttle", 0.0, 0.0).await;

    // The throttle goes to the fifth axis, the other way round.
    press_named(&session, "Set up").await;
    session.wait_for(".axis-row meter").await;
    wait_for_prompt(&session, "Paused").await;
    session
        .ask(
            "const select = document.querySelectorAll('.axis-row select')[2];
             select.value = '4';
             select.dispatchEvent(new Event('change', { bubbles: true }));
             document.querySelectorAll('.axis-row input')[2].click();",
        )
        .await;
    move_axis(&session, 4, 0.6).await;
    let shows = "return document.querySelectorAll('.axis-row meter')[2].value === 0.6";
    session.wait_until("the axis as it stands", shows).await;

    // Its ends are 0.6 either way; it rests at the one that is no throttle.
    press_named(&session, "Calibrate").await;
    see_frames(&session).await;
    move_axis(&session, 4, -0.6).await;
    let seen = "return document.querySelector('.flight-sheet').textContent.includes('axis 5.')";
    session.wait_until("the axis that moved most", seen).await;
    move_axis(&session, 4, 0.6).await;
    session.wait_until("the axis back again", shows).await;
    press_named(&session, "Done").await;
    key(&session, "keydown", "Escape").await;
    session.wait_until("no sheet", "return !document.querySelector('.flight-sheet')").await;
    wait_for_reading(&session, "throttle", 0.0, 0.0).await;
    move_axis(&session, 4, -0.6).await;
    wait_for_reading(&session, "throttle", 100.0, 100.0).await;

    // The next flight knows it again.
    key(&session, "keydown", "Escape").await;
    session.wait_until("the page again", "return !document.querySelector('.flight')").await;
    open_field(&session).await;
    move_axis(&session, 4, 0.6).await;
    see_frames(&session).await;
    wait_for_reading(&session, "throttle", 0.0, 0.0).await;
    move_axis(&session, 4, -0.6).await;
    wait_for_reading(&session, "throttle", 100.0, 100.0).await;
    session.check_console().await;
    session.close().await;
}

/// Slides a thumb up or down on one of the two gates.
async fn slide(session: &Session, gate: usize, by_px: f64) {
    session
        .ask(&format!(
            "const gate = document.querySelectorAll('.thumb')[{gate}];
             const box = gate.getBoundingClientRect();
             const at = (kind, y) => gate.dispatchEvent(new PointerEvent(kind, {{
                 pointerId: 7, pointerType: 'touch', bubbles: true, cancelable: true,
                 clientX: box.x + box.width / 2, clientY: box.y + box.height / 2 + y,
             }}));
             at('pointerdown', 0);
             at('pointermove', {by_px});
             at('pointerup', {by_px});"
        ))
        .await;
}

#[tokio::test]
async fn the_buttons_of_a_game_pad_trim_switch_and_pause() {
    let session = Session::open(1440, 900, 1.0).await;
    session.ask(PLUG_IN_GAME_PAD).await;
    open_field(&session).await;
    see_frames(&session).await;
    let switch = |which: usize| {
        format!("return document.querySelectorAll('.flight-switch')[{which}].textContent.trim()")
    };
    let (view, throws) = (session.ask(&switch(0)).await, session.ask(&switch(1)).await);
    // The cross towards the pilot trims the nose up.
    press_pad(&session, 13).await;
    press_pad(&session, 13).await;
    let trimmed = format!("{} === 'Trim \u{2191}2'", switch(2));
    session.wait_until("two clicks up", &trimmed).await;
    press_pad(&session, 3).await;
    session.wait_until("another view", &format!("{} !== {view}", switch(0))).await;
    press_pad(&session, 1).await;
    session.wait_until("other throws", &format!("{} !== {throws}", switch(1))).await;
    press_pad(&session, 9).await;
    wait_for_prompt(&session, "Paused").await;
    session.check_console().await;
    session.close().await;
}

#[tokio::test]
async fn thumbs_move_the_throttle_where_the_mode_has_it() {
    let session = Session::open(390, 844, 2.0).await;
    session.ask("document.querySelector('.parts [aria-controls=answers]').click()").await;
    open_field(&session).await;
    slide(&session, 0, -200.0).await;
    wait_for_reading(&session, "throttle", 100.0, 100.0).await;
    slide(&session, 0, 400.0).await;
    wait_for_reading(&session, "throttle", 0.0, 0.0).await;
    press_named(&session, "Set up").await;
    session.wait_for("#mode-0").await;
    session.check_width().await;
    press(&session, "#mode-0").await;
    press_named(&session, "Close").await;
    slide(&session, 1, -200.0).await;
    wait_for_reading(&session, "throttle", 100.0, 100.0).await;
    session.check_console().await;
    session.close().await;
}

/// Clicks by key and by button, shown while flying and explained after it.
#[tokio::test]
async fn trim_is_moved_in_flight_and_explained_afterwards() {
    let session = Session::open(390, 844, 2.0).await;
    session.ask("document.querySelector('.parts [aria-controls=answers]').click()").await;
    open_field(&session).await;
    key(&session, "keydown", "KeyI").await;
    let says = |words: &str| {
        format!(
            "return [...document.querySelectorAll('.flight-switch')]
                 .some(button => button.textContent.trim() === '{words}')"
        )
    };
    session.wait_until("a click up", &says("Trim \u{2191}1")).await;
    press_named(&session, "Trim \u{2191}1").await;
    press(&session, ".trim-lever button[aria-label=\"Elevator trim, a click up\"]").await;
    session.wait_until("two clicks up", &says("Trim \u{2191}2")).await;
    session.check_width().await;
    let sizes = "return [...document.querySelectorAll('.flight-trims button')]
        .filter(button => button.offsetParent)
        .every(button => button.offsetWidth >= 44 && button.offsetHeight >= 44)";
    session.wait_until("buttons for fingers", sizes).await;
    press_named(&session, "Debrief").await;
    session.wait_for(".flight-debrief").await;
    let words = session.text(".flight-debrief").await;
    assert!(words.contains("2 clicks of nose-up elevator"), "{words}");
    session.check_console().await;
    session.close().await;
}
