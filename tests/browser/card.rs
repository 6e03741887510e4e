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
    for example in session.examples().await {
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
                "Flight time",
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
    let last = "[...document.querySelectorAll('.weight')]
        .filter(weight => weight.querySelector('input[id$=\"at-aft_m\"]')).at(-1)";
    for _ in 0..8 {
        let before = session.updates().await;
        let duplicate = format!(
            "[...({last}).querySelectorAll('button')].find(b => b.innerText === 'Duplicate').click()"
        );
        session.ask(&format!("({last}).open = true; {duplicate}")).await;
        let drawn = format!("return Number(document.body.dataset.updates || 0) > {before}");
        session.wait_until("one more weight", &drawn).await;
    }
    for (field, value) in [("mass_kg", "60"), ("at-aft_m", "900")] {
        let input = format!("return ({last}).querySelector('input[id$=\"{field}\"]').id");
        let input = session.ask_text(&input).await;
        session.set_input(&format!("#{input}"), value).await;
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

/// Words on the drawing that a line runs through, or other words.
const TOUCHED: &str = "
    const svg = [...document.querySelectorAll('.card-drawing')].find(d => d.checkVisibility());
    const lines = [];
    for (const path of svg.querySelectorAll('.ink-body, .ink-surface, .ink-control, .ink-propeller')) {
        for (const shape of path.getAttribute('d').split('M').filter(Boolean)) {
            const points = shape.replace('Z', '').split('L').map(pair => pair.split(' ').map(Number));
            if (shape.endsWith('Z')) points.push(points[0]);
            points.slice(1).forEach((point, i) => lines.push([points[i], point]));
        }
    }
    const words = [...svg.querySelectorAll('.card-callout')]
        .map(text => ({ said: text.textContent, box: text.getBBox() }));
    const touched = [];
    for (const { said, box } of words) {
        const runs_through = lines.some(([[x0, y0], [x1, y1]]) => {
            const steps = Math.ceil(Math.hypot(x1 - x0, y1 - y0)) + 1;
            return [...Array(steps + 1).keys()].some(step => {
                const [x, y] = [x0 + (x1 - x0) * step / steps, y0 + (y1 - y0) * step / steps];
                return x > box.x && x < box.x + box.width && y > box.y && y < box.y + box.height;
            });
        });
        if (runs_through) touched.push(said);
        const [left, top, width, height] = svg.getAttribute('viewBox').split(' ').map(Number);
        if (box.x < left || box.y < top || box.x + box.width > left + width
            || box.y + box.height > top + height) {
            touched.push(said + ' beyond the paper');
        }
        for (const other of words) {
            // Lines of one callout stand closer than their letters are tall.
            const apart = Math.abs(other.box.y - box.y) >= 14
                || other.box.x >= box.x + box.width || box.x >= other.box.x + other.box.width;
            if (other.box !== box && !apart) touched.push(said + ' on ' + other.said);
        }
    }
    return [words.length, touched];";

async fn check_drawing(session: &Session, what: &str) {
    open_card(session).await;
    let found = session.ask(TOUCHED).await;
    close_card(session).await;
    assert!(found[0].as_u64() >= Some(3), "{what}: {found}");
    assert_eq!(found[1], json!([]), "{what}: lines run through these words");
}

/// Each throw stands clear of all lines and of the other throws, for the examples
/// and for every layout that one may begin with; on a phone, too, where the views
/// stand one below the other.
#[tokio::test]
async fn words_on_the_drawing_stay_clear_of_its_lines() {
    for (width, height, density) in [(1440, 900, 1.0), (390, 844, 2.0)] {
        let session = Session::open(width, height, density).await;
        for example in session.examples().await {
            pick(&session, &example).await;
            check_drawing(&session, &format!("{example}, {width} px")).await;
        }
        let layouts = session
            .ask(
                "return [...document.querySelectorAll('#new-layout option')].map(o => o.innerText)",
            )
            .await;
        let layouts = layouts.as_array().cloned().unwrap_or_default();
        // The last is a blank sheet.
        for (index, layout) in layouts.iter().enumerate().take(layouts.len().saturating_sub(1)) {
            let before = session.updates().await;
            session
                .client
                .execute(
                    "const layout = document.querySelector('#new-layout');
                     layout.value = arguments[0];
                     layout.dispatchEvent(new Event('change', { bubbles: true }));
                     document.querySelector('#new-go').click();",
                    vec![json!(index.to_string())],
                )
                .await
                .expect("it is laid out");
            let drawn = format!("return Number(document.body.dataset.updates || 0) > {before}");
            session.wait_until("the layout", &drawn).await;
            check_drawing(&session, &format!("{layout}, {width} px")).await;
        }
        session.check_console().await;
        session.close().await;
    }
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
    let back = "return !document.querySelector('.card')
        && document.activeElement === document.querySelector('.panel-throws .card-open')";
    session.wait_until("the bench, with the focus on the button", back).await;
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
