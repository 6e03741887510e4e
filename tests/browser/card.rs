//! The card for the first flight: printed to a PDF by the browser itself, on
//! both papers, and read back; present throws and linkages on the page.

use fantoccini::wd::{PrintConfiguration, PrintSize};
use serde_json::json;

use crate::pdf::Pdf;
use crate::session::Session;

const PAPERS: [(&str, PrintSize); 2] = [("A4", PrintSize::A4), ("Letter", PrintSize::US_LETTER)];

async fn open_card(session: &Session) {
    session.ask("document.querySelector('.panel-throws .card-open').click()").await;
    session.wait_for(".card").await;
}

async fn close_card(session: &Session) {
    session.ask("document.querySelector('.card-bar button').click()").await;
    session.wait_until("the bench", "return !document.querySelector('.card')").await;
}

/// The page as the browser prints it without further settings.
async fn printed(session: &Session, size: PrintSize) -> Pdf {
    let paper = PrintConfiguration::builder().size(size).shrink_to_fit(false);
    let pdf = session.client.print(paper.build().unwrap()).await.expect("the browser prints");
    Pdf::new(pdf)
}

fn without_blanks(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

async fn pick(session: &Session, example: &str) {
    let before = session.updates().await;
    session
        .client
        .execute(
            "const select = document.querySelector('#example');
             if (select.value === arguments[0]) return;
             select.value = arguments[0];
             select.dispatchEvent(new Event('change', { bubbles: true }));",
            vec![json!(example)],
        )
        .await
        .expect("the picker is there");
    let there = format!(
        "return document.querySelector('#name').value === '{example}'
            && (Number(document.body.dataset.updates || 0) > {before} || {before} === 0)"
    );
    session.wait_until(example, &there).await;
}

#[tokio::test]
async fn every_card_is_one_page_of_either_paper() {
    let session = Session::open(1440, 900, 1.0).await;
    let examples = session
        .ask("return [...document.querySelectorAll('#example option')].map(o => o.value).filter(v => v)")
        .await;
    for example in examples.as_array().cloned().unwrap_or_default() {
        let example = example.as_str().unwrap().to_owned();
        pick(&session, &example).await;
        open_card(&session).await;
        let throws = session
            .ask("return [...document.querySelectorAll('.card-throws td')].map(td => td.innerText)")
            .await;
        let throws = throws.as_array().cloned().unwrap_or_default();
        assert!(throws.len() >= 12, "{example}: {throws:?}");
        for (paper, size) in PAPERS {
            let pdf = printed(&session, size).await;
            assert_eq!(pdf.pages(), 1, "{example} on {paper}");
            let words = pdf.characters();
            let said = [
                example.as_str(),
                "Balance",
                "Aim for",
                "Stall",
                "Best glide",
                "Fastest level",
                "Time, ordinary",
                "Trims to preset",
                "Elevator stick back",
                "Tail-heavy",
                "Propeller:",
                "Lithium pack:",
                "Failsafe and range:",
                "spotter",
                "airspace",
                "a club helps",
                "A prediction is not a clearance to fly",
                "How sure is this?",
            ];
            let said = said.into_iter().chain(throws.iter().filter_map(|cell| cell.as_str()));
            for text in said {
                assert!(words.contains(&without_blanks(text)), "{example}, {paper}: no '{text}'");
            }
            // Nothing of the bench or of the buttons is printed.
            for text in ["From the bench to the throws", "Back to the bench"] {
                assert!(!words.contains(&without_blanks(text)), "{example}, {paper}: '{text}'");
            }
        }
        close_card(&session).await;
    }
    session.check_console().await;
    session.close().await;
}

/// A long name, many weights, and a balance that calls for cautions still make
/// one page.
#[tokio::test]
async fn a_crowded_card_is_one_page() {
    let session = Session::open(1440, 900, 1.0).await;
    session
        .set_input("#name", &"Long-winged Sparrowhall of the second kind ".repeat(2)[..80])
        .await;
    for _ in 0..8 {
        let before = session.updates().await;
        session
            .ask("[...document.querySelectorAll('.bench > details:last-of-type > button')].at(-1).click()")
            .await;
        let drawn = format!("return Number(document.body.dataset.updates || 0) > {before}");
        session.wait_until("one more weight", &drawn).await;
    }
    for (field, value) in [("mass_kg", "100"), ("aft_m", "900")] {
        let inputs = format!("[...document.querySelectorAll('.weight input[id$={field}]')]");
        let last = session.ask_text(&format!("return {inputs}.at(-1).id")).await;
        session.set_input(&format!("#{last}"), value).await;
    }
    open_card(&session).await;
    for (paper, size) in PAPERS {
        let pdf = printed(&session, size).await;
        assert_eq!(pdf.pages(), 1, "{paper}");
        assert!(pdf.characters().contains("otherparts"), "{paper}");
        assert!(pdf.characters().contains("TAIL-HEAVY"), "{paper}");
    }
    session.close().await;
}

/// The card as the whole page on a phone; Escape leads back.
#[tokio::test]
async fn the_card_fits_the_phone() {
    let session = Session::open(390, 844, 3.0).await;
    open_card(&session).await;
    session.check_width().await;
    session
        .ask("window.dispatchEvent(new KeyboardEvent('keydown', { key: 'Escape', bubbles: true }))")
        .await;
    session.wait_until("the bench", "return !document.querySelector('.card')").await;
    session.check_width().await;
    session.check_console().await;
    session.close().await;
}

/// Far too much elevator is told to be cut, and says by how much.
#[tokio::test]
async fn a_present_throw_is_judged() {
    let session = Session::open(1440, 900, 1.0).await;
    let enter = "[...document.querySelectorAll('.present-form')]
        .find(form => form.querySelector('h3').innerText.toLowerCase() === 'elevator')
        .querySelector('button').click()";
    session.ask(enter).await;
    session.wait_for("#present input[id$=high_rate_deg]").await;
    let field = session
        .ask_text("return document.querySelector('#present input[id$=high_rate_deg]').id")
        .await;
    session.set_input(&format!("#{field}"), "28").await;
    let said = session.text("#present").await;
    assert!(said.contains("high rate now: 28°") && said.contains("Cut it to"), "{said}");
    assert!(said.contains("than you bear"), "{said}");
    session
        .client
        .execute(
            "const input = document.getElementById(arguments[0]);
             input.value = '90';
             input.dispatchEvent(new Event('input', { bubbles: true }));",
            vec![json!(field)],
        )
        .await
        .expect("the field is there");
    let fault = format!(
        "return document.getElementById('{field}-fault').innerText.includes('outside 0.5 to 60 °')"
    );
    session.wait_until("the fault beside the field", &fault).await;
    session.check_console().await;
    session.close().await;
}

/// A linkage entered on the bench gives throws, holes and loads; a longer servo
/// arm gives more throw.
#[tokio::test]
async fn a_linkage_is_looked_at() {
    let session = Session::open(1440, 900, 1.0).await;
    let before = session.updates().await;
    session.ask("document.querySelector('.rigging button').click()").await;
    session
        .wait_until(
            "the linkage",
            &format!("return Number(document.body.dataset.updates || 0) > {before}"),
        )
        .await;
    let arm = session.ask_text("return document.querySelector('input[id$=servo_arm_m]').id").await;
    let full = "return document.querySelector('#linkage .readout-value').innerText";
    let short = session.ask_text(full).await;
    session.set_input(&format!("#{arm}"), "12").await;
    let long = session.ask_text(full).await;
    let degrees = |text: &str| text.split('°').next().unwrap().parse::<f64>().unwrap();
    assert!(degrees(&long) > degrees(&short), "{short} became {long}");
    let said = session.text("#linkage").await;
    for part in ["Best holes", "horn", "stall torque", "buckling load", "Flutter"] {
        assert!(said.contains(part), "no '{part}' in {said}");
    }
    session.check_width().await;
    session.check_console().await;
    session.close().await;
}
