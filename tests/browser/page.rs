//! What the page must do at the two widths it is made for.

use serde_json::json;

use crate::session::Session;

const DESK: (u32, u32, f64) = (1440, 900, 1.0);
const PHONE: (u32, u32, f64) = (390, 844, 3.0);

async fn open((width, height, density): (u32, u32, f64)) -> Session {
    Session::open(width, height, density).await
}

/// The field and the slider of the wing's dihedral.
const DIHEDRAL_FIELD: &str = "#surfaces-0--panels-0--dihedral_deg";
const DIHEDRAL_SLIDER: &str = "#slide-surfaces-0--panels-0--dihedral_deg";

#[tokio::test]
async fn fits_the_desk() {
    let session = open(DESK).await;
    session.check_width().await;
    session.check_console().await;
    session.close().await;
}

#[tokio::test]
async fn fits_the_phone_in_every_part() {
    let session = open(PHONE).await;
    for part in ["bench", "drawing", "answers"] {
        let shows = format!("document.getElementById('{part}').checkVisibility()");
        session
            .ask(&format!("document.querySelector('.parts [aria-controls={part}]').click()"))
            .await;
        session.wait_until(part, &format!("return {shows}")).await;
        session.check_width().await;
    }
    session.check_console().await;
    session.close().await;
}

/// Where no linkage is entered, the answer leads to where it is, on a phone too,
/// which hides the form while it shows the answers.
#[tokio::test]
async fn the_answer_leads_to_the_linkage() {
    let session = open(PHONE).await;
    session.ask("document.querySelector('#linkage a').click()").await;
    session
        .wait_until(
            "its fold",
            "const fold = document.querySelector('.rigging > summary');
             const at = fold.getBoundingClientRect();
             return fold.checkVisibility() && at.top >= 0 && at.bottom <= innerHeight",
        )
        .await;
    session.check_console().await;
    session.close().await;
}

/// The whole line from a measurement to the throws: less dihedral, less bank by
/// rudder, so more rudder is borne or needed, and the advice says so.
#[tokio::test]
async fn dihedral_changes_the_advice() {
    let session = open(DESK).await;
    let rudder = "return [...document.querySelectorAll('#throws .throws-row')]
        .find(row => row.querySelector('.throws-surface')?.innerText === 'Rudder').innerText";
    let bank = "return document.querySelector('#rudder .readouts').innerText";
    let (advice_before, bank_before) =
        (session.ask_text(rudder).await, session.ask_text(bank).await);
    session.set_input(DIHEDRAL_SLIDER, "1").await;
    let (advice_after, bank_after) = (session.ask_text(rudder).await, session.ask_text(bank).await);
    assert_ne!(advice_before, advice_after);
    assert_ne!(bank_before, bank_after);
    let field = format!("return document.querySelector('{DIHEDRAL_FIELD}').value");
    assert_eq!(session.ask(&field).await, json!("1"), "field and slider show one value");
    session.check_console().await;
    session.close().await;
}

/// Every example gives an answer, with all its panels filled.
#[tokio::test]
async fn every_example_is_answered() {
    let session = open(DESK).await;
    let examples = session.examples().await;
    assert!(examples.len() >= 3, "{examples:?}");
    // The first is there from the start, so it comes last.
    for example in examples.iter().skip(1).chain(&examples[..1]) {
        let before = session.updates().await;
        session
            .client
            .execute(
                "const select = document.querySelector('#example');
                 select.value = arguments[0];
                 select.dispatchEvent(new Event('change', { bubbles: true }));",
                vec![json!(example)],
            )
            .await
            .expect("the picker is there");
        let updated = format!("return Number(document.body.dataset.updates || 0) > {before}");
        session.wait_until(example, &updated).await;
        let faults = session.ask("return document.querySelector('.faults')?.innerText ?? ''").await;
        assert_eq!(faults, json!(""), "{example}");
        let rows = session.ask("return document.querySelectorAll('.throws-row').length").await;
        assert!(rows.as_u64() >= Some(3), "{example}: {rows} rows of throws");
        session.check_width().await;
    }
    session.check_console().await;
    session.close().await;
}

/// Share of updates that must be at least as quick as the figure printed.
const PERCENTILE: f64 = 0.95;

/// Prints how long an edit takes: in the core, as far as what is seen needs it,
/// from the change until all that is seen is drawn, and the same without the wait
/// for the frame, of which there are sixty a second whatever is done. Once with
/// the drawing in sight, once with the curves that the rudder draws beside the
/// slider itself; and the very first edit, while workers still work out what
/// comes late and the browser compiles what it finds to be called often.
#[tokio::test]
async fn timed_edits_are_quick() {
    let session = open(DESK).await;
    session.set_input(DIHEDRAL_SLIDER, "4").await;
    println!("first edit, ms: {}", session.ask_text("return document.body.dataset.drawnMs").await);
    session.wait_until("late", "return document.body.dataset.lateMs !== undefined").await;
    for (sight, top) in [("drawing", "#drawing"), ("curves", "#rudder")] {
        session
            .ask(&format!(
                "document.querySelector('{top}').scrollIntoView({{ behavior: 'instant' }})"
            ))
            .await;
        let mut figures = [const { Vec::new() }; 3];
        for edit in 0..60 {
            let dihedral = (edit * 7 % 31) as f64 * 0.5;
            session.set_input(DIHEDRAL_SLIDER, &dihedral.to_string()).await;
            let data = session
                .ask("const d = document.body.dataset; return [d.computeMs, d.workMs, d.drawnMs]")
                .await;
            let data = data.as_array().cloned().unwrap_or_default();
            for (list, value) in figures.iter_mut().zip(data) {
                list.push(value.as_str().and_then(|t| t.parse::<f64>().ok()).expect("a time"));
            }
        }
        println!("edit with the {sight} in sight, ms: {:>10} {:>10}", "median", "95 %");
        for (name, mut list) in
            ["core", "without the wait", "change to drawn"].into_iter().zip(figures)
        {
            list.sort_by(f64::total_cmp);
            let at = |share: f64| list[((list.len() - 1) as f64 * share).round() as usize];
            println!("{name:>18}: {:>10.1} {:>10.1}", at(0.5), at(PERCENTILE));
            // Far beyond the goal of 16 ms: only a slip of an order of magnitude
            // fails on a busy machine.
            assert!(at(PERCENTILE) < 500.0, "{name} takes {} ms", at(PERCENTILE));
        }
    }
    session.close().await;
}

/// What is typed stays as it was typed, is never refused, and its fault stands
/// beside it and over the answers, in the builder's own unit.
#[tokio::test]
async fn faults_stand_beside_the_field() {
    let session = open(DESK).await;
    let field = "#surfaces-0--panels-0--root_chord_m";
    for (typed, fault) in [("0", "outside 1 to 20000 mm"), ("two", "not a number"), ("", "needed")]
    {
        session
            .client
            .execute(
                "const input = document.querySelector(arguments[0]);
                 input.value = arguments[1];
                 input.dispatchEvent(new Event('input', { bubbles: true }));",
                vec![json!(field), json!(typed)],
            )
            .await
            .expect("the field is there");
        session
            .wait_until(
                fault,
                &format!(
                    "return document.querySelector('{field}-fault').innerText.includes('{fault}')"
                ),
            )
            .await;
        let kept = session.ask(&format!("return document.querySelector('{field}').value")).await;
        assert_eq!(kept, json!(typed));
        let over = session.text(".faults").await;
        assert!(over.contains(fault), "'{typed}': {over}");
    }
    session.set_input(field, "210").await;
    assert_eq!(session.text(&format!("{field}-fault")).await, "");
    assert_eq!(session.ask("return document.querySelector('.faults')").await, json!(null));
    session.check_console().await;
    session.close().await;
}

#[tokio::test]
async fn undo_brings_back_value_and_text() {
    let session = open(DESK).await;
    let value = format!("return document.querySelector('{DIHEDRAL_FIELD}').value");
    let before = session.ask_text(&value).await;
    session.set_input(DIHEDRAL_SLIDER, "9").await;
    assert_eq!(session.ask_text(&value).await, "9");
    session.ask("document.querySelector('.title-history button').click()").await;
    session.wait_until("undo", &format!("{value} === '{before}'")).await;
    session.check_console().await;
    session.close().await;
}
