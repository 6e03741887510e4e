//! Lessons: shown, tried, judged, replayed, kept as a file; one movement with two
//! settings side by side.

use serde_json::json;

use crate::field::{key, open_by, press_named, see_frames, wait_for_prompt};
use crate::session::Session;

/// Catches what the page saves.
const CATCH_FILES: &str = "
    const make = URL.createObjectURL;
    URL.createObjectURL = file => {
        file.text().then(text => { window.savedText = text; });
        return make.call(URL, file);
    };
    HTMLAnchorElement.prototype.click = function () { window.savedName = this.download; };";

async fn wait_for_task(session: &Session, words: &str) {
    let script = format!(
        "return document.querySelector('.flight-task')?.textContent.includes('{words}') === true"
    );
    session.wait_until(words, &script).await;
    // The clock is then that of this lesson.
    see_frames(session).await;
}

/// Some seconds of the lesson pass.
async fn wait_for_clock(session: &Session, left_s: u32) {
    let left = "parseInt(document.querySelector('.flight-left').textContent)";
    session.wait_until("the clock", &format!("return {left} <= {left_s}")).await;
}

#[tokio::test]
async fn a_lesson_is_shown_tried_and_judged() {
    let session = Session::open(1440, 900, 1.0).await;
    session.ask(CATCH_FILES).await;
    open_by(&session, "[aria-label=\"Show me: Straight and level\"]").await;
    wait_for_task(&session, "Watch how small").await;
    wait_for_clock(&session, 18).await;
    press_named(&session, "Debrief").await;
    session.wait_for(".flight-debrief").await;
    assert!(session.text(".debrief-outcome").await.contains("Now you"));

    press_named(&session, "Try it").await;
    wait_for_task(&session, "Small taps").await;
    wait_for_clock(&session, 18).await;
    press_named(&session, "Debrief").await;
    session.wait_for(".flight-debrief .goals").await;
    let rows = session.ask("return document.querySelectorAll('.goals tbody tr').length").await;
    assert_eq!(rows, json!(3));
    assert!(session.text(".debrief-outcome").await.contains("20 s"), "it takes its time");

    press_named(&session, "Save as CSV").await;
    session.wait_until("a file", "return window.savedText !== undefined").await;
    assert_eq!(session.ask_text("return window.savedName").await, "flight.csv");
    let text = session.ask_text("return window.savedText").await;
    let record = sim_core::flight::Record::from_csv(&text).expect("the core reads its own file");
    assert!(record.len() > 25, "more than a second: {}", record.len());

    press_named(&session, "Replay").await;
    wait_for_prompt(&session, "Replay").await;
    session.wait_for(".flight-debrief a[href=\"#throws\"]").await;
    // Not by `click`, which catches files here.
    session
        .ask(
            "document.querySelector('.flight-debrief a[href=\"#throws\"]')
                 .dispatchEvent(new MouseEvent('click', { bubbles: true, cancelable: true }))",
        )
        .await;
    session.wait_until("the page again", "return !document.querySelector('.flight')").await;
    assert!(session.ask("return document.querySelector('#throws') !== null").await == json!(true));
    session.check_console().await;
    session.close().await;
}

#[tokio::test]
async fn two_settings_fly_side_by_side() {
    let session = Session::open(1440, 900, 1.0).await;
    let places = [("1", "the wings stay behind"), ("2", "twice as far"), ("3", "grip with")];
    for (place, meaning) in places {
        let button = format!(".compare-buttons button:nth-child({place})");
        let ready = format!("return document.querySelector('{button}')?.disabled === false");
        session.wait_until("a computed aeroplane", &ready).await;
        session.ask(&format!("document.querySelector('{button}').click()")).await;
        let shown = format!(
            "const shown = document.querySelector('.panel-fly .compared');
             return shown.textContent.includes('{meaning}')
                 && shown.querySelectorAll('li').length === 2
                 && shown.querySelector('canvas, svg') !== null;"
        );
        session.wait_until(meaning, &shown).await;
    }
    session.check_console().await;
    session.close().await;
}

/// Both in the air with a name over each, then either by hand, and what came of
/// both beside each other.
#[tokio::test]
async fn two_settings_are_seen_together_and_flown_in_turn() {
    let session = Session::open(1440, 900, 1.0).await;
    let first = ".compare-buttons button:nth-child(2)";
    let ready = format!("return document.querySelector('{first}')?.disabled === false");
    session.wait_until("a computed aeroplane", &ready).await;
    session.ask(&format!("document.querySelector('{first}').click()")).await;
    session.wait_for(".panel-fly .compared .fly-button").await;
    session.ask("document.querySelector('.panel-fly .compared .fly-button').click()").await;
    let named = "return [...document.querySelectorAll('.flight-name')]
        .filter(name => !name.hidden && parseFloat(name.style.left) > 0).length === 2";
    session.wait_until("two named aeroplanes", named).await;
    session.wait_for(".flight-debrief").await;
    assert!(session.text(".flight-debrief").await.contains("twice as far"));

    press_named(&session, "Fly it: doubled").await;
    let names = |setting: &str| {
        format!(
            "return document.querySelector('.flight-task').textContent.includes('You fly: {setting}')"
        )
    };
    session.wait_until("the doubled throw", &names("doubled")).await;
    key(&session, "keydown", "KeyC").await;
    session.wait_until("the advised throw", &names("advised")).await;
    press_named(&session, "Debrief").await;
    session.wait_for(".flight-debrief .goals").await;
    let flown = "return [...document.querySelectorAll('.goals td')]
        .every(cell => cell.textContent !== 'not flown')";
    session.wait_until("both settings in the table", flown).await;
    session.check_console().await;
    session.close().await;
}
