//! The pinned baseline, a sweep, reading curves off, units, parts that come and
//! go, weights on the drawing.

use serde_json::json;

use crate::session::Session;

const DIHEDRAL_SLIDER: &str = "#slide-surfaces-0--panels-0--dihedral_deg";

async fn open() -> Session {
    Session::open(1440, 900, 1.0).await
}

async fn click(session: &Session, selector: &str) {
    session.ask(&format!("document.querySelector('{selector}').click()")).await;
}

/// Presses the button with these words inside an element, and waits for the
/// result.
async fn press(session: &Session, within: &str, words: &str) {
    let before = session.updates().await;
    session
        .client
        .execute(
            "[...document.querySelector(arguments[0]).querySelectorAll('button')]
                 .find(button => button.textContent.trim() === arguments[1]).click()",
            vec![json!(within), json!(words)],
        )
        .await
        .unwrap_or_else(|error| panic!("{words} in {within}: {error}"));
    let updated = format!("return Number(document.body.dataset.updates || 0) > {before}");
    session.wait_until(words, &updated).await;
}

#[tokio::test]
async fn a_pinned_design_stands_beside_the_present_one() {
    let session = open().await;
    click(&session, "#pin").await;
    session.wait_until("pinned", "return document.querySelector('.legend-pinned') !== null").await;
    session.set_input(DIHEDRAL_SLIDER, "1").await;
    let table = session.text("#whatif .numbers").await;
    assert!(table.contains("Rudder"), "{table}");
    assert_ne!(
        session.ask_text("return document.querySelector('.ink-pinned').getAttribute('d')").await,
        ""
    );
    press(&session, "#whatif", "Go back to the pinned one").await;
    let note = "return document.querySelector('#whatif .numbers') === null";
    session.wait_until("no difference", note).await;
    session.check_console().await;
    session.close().await;
}

#[tokio::test]
async fn timed_sweep_shows_throws_and_motions_and_never_blocks_long() {
    let session = open().await;
    // Beside everything else that is computed late: the sweep has to share.
    session
        .ask(
            "window.longest = 0;
             new PerformanceObserver(list => {
                 for (const task of list.getEntries())
                     window.longest = Math.max(window.longest, task.duration);
             }).observe({ type: 'longtask' });",
        )
        .await;
    click(&session, "#sweep-go").await;
    session
        .wait_until(
            "the sweep",
            "return document.querySelectorAll('.sweep-figures canvas').length >= 3
                 && document.querySelector('#whatif progress') === null",
        )
        .await;
    let longest = session.ask("return window.longest").await;
    println!("longest task of the page in a sweep, ms, where any is over 50: {longest}");
    // The goal is none over 50 ms; a busy machine stretches everything.
    assert!(longest.as_f64() < Some(250.0), "{longest}");
    let trail = session
        .ask("return document.querySelector('.map-trail').getAttribute('d').split('M').length - 1")
        .await;
    assert!(trail.as_u64() > Some(50), "{trail} marks of the trail");
    let name =
        "[...document.querySelectorAll('#whatif button')].find(b => b.ariaExpanded !== null)";
    session.ask(&format!("{name}.click()")).await;
    session
        .wait_until(
            "the table",
            "return document.querySelectorAll('#whatif tbody tr').length === 13",
        )
        .await;
    session.check_width().await;
    session.check_console().await;
    session.close().await;
}

#[tokio::test]
async fn curves_are_read_off_by_pointer_and_by_key() {
    let session = open().await;
    let said =
        "return document.querySelector('#elevator .figure-reader').getAttribute('aria-valuetext')";
    assert_eq!(session.ask_text(said).await, "");
    session
        .ask(
            "const reader = document.querySelector('#elevator .figure-reader');
             reader.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true }));",
        )
        .await;
    session.wait_until("a reading", &format!("{said}.includes('surface')")).await;
    session.check_console().await;
    session.close().await;
}

#[tokio::test]
async fn inches_and_ounces_hold_everywhere_and_are_kept() {
    let session = open().await;
    let chord = "return document.querySelector('#surfaces-0--panels-0--root_chord_m').value";
    assert_eq!(session.ask_text(chord).await, "200");
    click(&session, "#units-inches").await;
    session.wait_until("inches", &format!("{chord} === '7.874'")).await;
    for place in ["#balance .readouts", "#throws .throws-table", ".title-sizes"] {
        let words = session.text(place).await;
        assert!(words.contains(" in") && !words.contains("mm"), "{place}: {words}");
    }
    session.client.refresh().await.expect("the page opens again");
    session.wait_for("main").await;
    assert_eq!(session.ask_text(chord).await, "7.874");
    session.check_console().await;
    session.close().await;
}

#[tokio::test]
async fn parts_come_and_go_and_every_layout_is_answered() {
    let session = open().await;
    let layouts =
        session.ask("return document.querySelectorAll('#new-layout option').length").await;
    for layout in 0..layouts.as_u64().expect("layouts") {
        session
            .client
            .execute(
                "const select = document.querySelector('#new-layout');
                 select.value = arguments[0];
                 select.dispatchEvent(new Event('change', { bubbles: true }));",
                vec![json!(layout.to_string())],
            )
            .await
            .expect("the picker is there");
        press(&session, "#new", "Lay it out").await;
        let faults =
            session.ask_text("return document.querySelector('.faults')?.innerText ?? ''").await;
        let surfaces =
            session.ask("return document.querySelectorAll('#bench .group').length").await;
        let blank = layout + 1 == layouts.as_u64().unwrap_or(0);
        assert_eq!(faults.is_empty(), !blank, "layout {layout}: {faults}, {surfaces} parts");
    }
    // From nothing: a wing and a weight, and the sheet is answered again.
    press(&session, "#bench", "Add").await;
    session.ask("document.querySelector('#bench .group:last-of-type').open = true").await;
    let adders = "return [...document.querySelectorAll('#bench .adder button')].length";
    assert!(session.ask(adders).await.as_u64() >= Some(4));
    let before = session.updates().await;
    session.ask("[...document.querySelectorAll('#bench .adder button')].at(-1).click()").await;
    let updated = format!("return Number(document.body.dataset.updates || 0) > {before}");
    session.wait_until("a weight", &updated).await;
    let faults =
        session.ask_text("return document.querySelector('.faults')?.innerText ?? ''").await;
    assert!(!faults.contains("needs a look"), "{faults}");
    session.check_console().await;
    session.close().await;
}

#[tokio::test]
async fn weights_move_by_key_on_the_drawing_and_the_typed_dimension_shows() {
    let session = open().await;
    let first = "document.querySelector('.weight-mark')";
    let before = session.ask_text(&format!("return {first}.getAttribute('aria-valuenow')")).await;
    let updates = session.updates().await;
    session
        .ask(&format!(
            "{first}.dispatchEvent(new KeyboardEvent('keydown', {{ key: 'ArrowRight', bubbles: true }}))"
        ))
        .await;
    session
        .wait_until(
            "moved",
            &format!("return Number(document.body.dataset.updates || 0) > {updates}"),
        )
        .await;
    let after = session.ask_text(&format!("return {first}.getAttribute('aria-valuenow')")).await;
    let (before, after): (f64, f64) = (before.parse().unwrap(), after.parse().unwrap());
    assert!((after - before - 1.0).abs() < 1e-6, "{before} to {after}");
    session.ask("document.querySelector('#surfaces-0--panels-0--span_m').focus()").await;
    session
        .wait_until("the dimension", "return document.querySelector('.touched-line') !== null")
        .await;
    session.check_console().await;
    session.close().await;
}

#[tokio::test]
async fn numbers_open_their_method_and_the_engineer_gets_tables() {
    let session = open().await;
    click(&session, "#balance .depth-button").await;
    session
        .wait_until("the method", "return document.querySelector('.readout-depth') !== null")
        .await;
    click(&session, "#engineer button").await;
    session
        .wait_until(
            "the tables",
            "return document.querySelectorAll('#engineer table').length === 5",
        )
        .await;
    session.check_width().await;
    session.check_console().await;
    session.close().await;
}
