//! For everyone: no barrier that axe-core finds (WCAG 2.2 A and AA), the whole
//! by keyboard, at twice the size, by touch, without motion.

use std::io::Read;

use serde_json::{Value, json};

use crate::session::Session;

const DESK: (u32, u32, f64) = (1440, 900, 1.0);
const PHONE: (u32, u32, f64) = (390, 844, 3.0);

async fn open((width, height, density): (u32, u32, f64)) -> Session {
    Session::open(width, height, density).await
}

/// The text of axe-core; see `vendor/README.md`.
fn axe() -> String {
    let packed = include_bytes!("vendor/axe.min.js.gz");
    let mut text = String::new();
    flate2::read::GzDecoder::new(&packed[..]).read_to_string(&mut text).expect("the vendored file");
    text
}

/// Fails where axe-core finds a barrier in what is shown now.
async fn check_barriers(session: &Session, what: &str) {
    if session.ask("return typeof window.axe").await == json!("undefined") {
        session.ask(&axe()).await;
    }
    let found = session
        .client
        .execute_async(
            "const done = arguments[0];
             axe.run(document, {
                 runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
                 resultTypes: ['violations'],
             }).then(
                 result => done(result.violations.map(v => ({
                     rule: v.id,
                     help: v.help,
                     places: v.nodes.slice(0, 5).map(n => n.target.join(' ') + ': ' + n.failureSummary),
                 }))),
                 error => done(String(error)),
             )",
            Vec::new(),
        )
        .await
        .expect("axe-core runs");
    assert!(found == json!([]), "{what}: {found:#}");
}

async fn set_scheme(session: &Session, scheme: &str) {
    let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
    session.cdp("Emulation.setEmulatedMedia", json!({ "features": features })).await;
}

async fn press(session: &Session, selector: &str) {
    session.ask(&format!("document.querySelector({}).click()", json!(selector))).await;
}

/// Every part of the page, every dialog and the field.
async fn check_everything(session: &Session, scheme: &str, phone: bool) {
    set_scheme(session, scheme).await;
    // Not answered yet, so that the invitation is looked at too.
    let name = |what: &str| format!("{what}, {scheme}, {}", if phone { "phone" } else { "desk" });
    session.ask("document.querySelectorAll('details.group').forEach(d => d.open = true)").await;
    if phone {
        for part in ["bench", "drawing", "answers"] {
            press(session, &format!(".parts [aria-controls={part}]")).await;
            check_barriers(session, &name(part)).await;
        }
    } else {
        check_barriers(session, &name("page")).await;
    }
    session.ask("document.querySelector('.menu').open = true").await;
    check_barriers(session, &name("file menu")).await;
    session.ask("document.querySelector('.menu').open = false").await;
    // The tour's bubble covers for a while what happens to be under it.
    session.ask("document.querySelectorAll('details.group').forEach(d => d.open = false)").await;
    press(session, ".menu-list button:last-of-type").await;
    for step in 1..=5 {
        session
            .wait_until(
                "a step",
                &format!(
                    "return document.querySelector('.tour-count').innerText.startsWith('{step}')"
                ),
            )
            .await;
        check_barriers(session, &name(&format!("tour, step {step}"))).await;
        press(session, ".tour-onward").await;
    }
    session.ask("document.querySelectorAll('details.group').forEach(d => d.open = true)").await;
    session.ask("document.querySelector('.term-name').focus()").await;
    check_barriers(session, &name("a term")).await;
    session.ask("document.querySelectorAll('.figure-table').forEach(d => d.open = true)").await;
    session.wait_for(".figure-table td").await;
    check_barriers(session, &name("figures as tables")).await;
    session.ask("document.querySelectorAll('.figure-table').forEach(d => d.open = false)").await;
    press(session, "#shelf-button").await;
    check_barriers(session, &name("aeroplanes")).await;
    session.ask("document.querySelector('dialog[open]').close()").await;
    press(session, ".panel-throws .card-open").await;
    session.wait_for(".card").await;
    check_barriers(session, &name("maiden card")).await;
    press(session, ".card-bar button").await;
    session.wait_until("the page again", "return !document.querySelector('.card')").await;
    press(session, ".panel-fly .compare-buttons button").await;
    session.wait_for(".compared canvas").await;
    check_barriers(session, &name("two settings side by side")).await;
    press(session, ".panel-fly > .fly-button").await;
    session.wait_for(".flight canvas").await;
    check_barriers(session, &name("field")).await;
    press(session, ".flight-switch[aria-expanded]").await;
    session.wait_for(".flight-trims").await;
    check_barriers(session, &name("trims")).await;
    press(session, ".flight-switch[aria-expanded]").await;
    press(session, ".flight-buttons [aria-expanded]:not(.flight-switch)").await;
    session.wait_for(".flight-sheet").await;
    check_barriers(session, &name("settings of the flight")).await;
    session.ask("document.querySelector('.flight-buttons button').click()").await;
    session.wait_until("the page again", "return !document.querySelector('.flight')").await;
}

/// The page on what was checked is a page like the others: reached from the
/// answers, whole on the phone, without barriers, and back again.
#[tokio::test]
async fn the_page_of_trust_has_no_barrier() {
    let session = Session::open(390, 844, 2.0).await;
    session.ask("document.querySelector('[href^=trust]').click()").await;
    session.wait_for(".trust table").await;
    for scheme in ["light", "dark"] {
        set_scheme(&session, scheme).await;
        check_barriers(&session, &format!("trust, {scheme}")).await;
    }
    session.ask("document.querySelectorAll('details').forEach(d => d.open = true)").await;
    check_barriers(&session, "trust, all open").await;
    let wide = "return document.documentElement.scrollWidth > innerWidth";
    assert_eq!(session.ask(wide).await, false, "the page itself never moves sideways");
    session.ask("document.querySelector('nav a').click()").await;
    session.wait_for(".panel-throws").await;
    session.close().await;
}

#[tokio::test]
async fn no_barrier_on_the_desk() {
    let session = open(DESK).await;
    session.set_input("#surfaces-0--panels-0--root_chord_m", "211").await;
    for scheme in ["light", "dark"] {
        check_everything(&session, scheme, false).await;
    }
    session.set_input("#surfaces-0--panels-0--root_chord_m", "0").await;
    check_barriers(&session, "a fault").await;
    session.close().await;
}

#[tokio::test]
async fn no_barrier_on_the_phone() {
    let session = open(PHONE).await;
    session.set_input("#surfaces-0--panels-0--root_chord_m", "211").await;
    for scheme in ["light", "dark"] {
        check_everything(&session, scheme, true).await;
    }
    session.close().await;
}

/// What can be pressed is at least 44 px by 44 px, apart from links within
/// sentences; what a label or a frame makes larger counts with it.
#[tokio::test]
async fn fingers_find_what_they_press() {
    let session = open(PHONE).await;
    session.ask("document.querySelectorAll('details').forEach(d => d.open = true)").await;
    press(&session, "#shelf-button").await;
    let mut small = Vec::new();
    for part in ["bench", "drawing", "answers"] {
        press(&session, &format!(".parts [aria-controls={part}]")).await;
        let found = session
            .ask(
                "const size = element => {
                     const box = element.getBoundingClientRect();
                     return [box.width, box.height];
                 };
                 const room = element => {
                     const [width, height] = size(target(element));
                     const more = getComputedStyle(element, '::after');
                     if (more.content === 'none') return [width, height];
                     return [Math.max(width, parseFloat(more.width)), Math.max(height, parseFloat(more.height))];
                 };
                 const target = element => {
                     if (element.matches('input[type=radio]')) return element.nextElementSibling;
                     if (element.matches('input[type=checkbox]')) return element.parentElement;
                     return element.closest('.field-box') ?? element;
                 };
                 return [...document.querySelectorAll('button, input, select, summary, a, [tabindex=\"0\"]')]
                     .filter(e => e.checkVisibility({ visibilityProperty: true, opacityProperty: false }))
                     .filter(e => !e.closest('p, li') || !e.matches('a'))
                     .filter(e => !e.closest('.figure-table:not([open])'))
                     .filter(e => Math.min(...room(e)) < 43.5)
                     .map(e => `${e.tagName}.${e.className}#${e.id} ${e.innerText} ${room(e)}`);",
            )
            .await;
        small.extend(found.as_array().cloned().unwrap_or_default());
    }
    assert!(small.is_empty(), "too small to press: {small:#?}");
    session.close().await;
}

/// At twice the size a desk has the width of a tablet: nothing is cut off.
#[tokio::test]
async fn twice_the_size_is_whole() {
    let session = open((720, 450, 2.0)).await;
    for part in ["bench", "drawing", "answers"] {
        press(&session, &format!(".parts [aria-controls={part}]")).await;
        session.check_width().await;
    }
    session.close().await;
}

/// Without motion nothing glides or fades.
#[tokio::test]
async fn without_motion_nothing_glides() {
    let session = open(DESK).await;
    let features = json!([{ "name": "prefers-reduced-motion", "value": "reduce" }]);
    session.cdp("Emulation.setEmulatedMedia", json!({ "features": features })).await;
    let moving = session
        .ask(
            "return [document.documentElement, ...document.querySelectorAll('*')]
                 .filter(e => {
                     const style = getComputedStyle(e);
                     const lasts = list => list.split(',').some(t => parseFloat(t) > 0);
                     return style.scrollBehavior === 'smooth' || lasts(style.transitionDuration)
                         || (style.animationName !== 'none' && lasts(style.animationDuration));
                 })
                 .map(e => `${e.tagName}.${e.className}`);",
        )
        .await;
    assert_eq!(moving, json!([]));
    session.close().await;
}

/// Tab, letters, arrows, Enter and Escape are enough: skip to the measurements,
/// change one, open the list of aeroplanes and leave it, fly and come back.
#[tokio::test]
async fn the_keyboard_is_enough() {
    const TAB: &str = "\u{e004}";
    const ENTER: &str = "\u{e007}";
    const ESCAPE: &str = "\u{e00c}";
    const UP: &str = "\u{e013}";
    let session = open(DESK).await;
    let focus = "const e = document.activeElement; return e.id || e.className || e.tagName";
    session.keys(TAB).await;
    assert_eq!(session.ask_text(focus).await, "skip", "the first stop skips to the measurements");
    session.keys(ENTER).await;
    session.wait_until("the measurements", "return document.activeElement.id === 'bench'").await;

    // Tab reaches a measurement; it shows where it is; arrows step it.
    let mut stops = Vec::new();
    while stops.last().is_none_or(|stop| stop != "surfaces-0--panels-0--root_chord_m") {
        session.keys(TAB).await;
        stops.push(session.ask_text(focus).await);
        assert!(stops.len() < 60, "{stops:?}");
    }
    let seen = session
        .ask("const e = document.activeElement, s = getComputedStyle(e), f = getComputedStyle(e.closest('.field-box'));
              return s.outlineStyle !== 'none' || f.boxShadow !== 'none'")
        .await;
    assert_eq!(seen, Value::Bool(true), "the focus shows");
    let before = session.updates().await;
    session.keys(UP).await;
    session
        .wait_until("a result", &format!("return Number(document.body.dataset.updates) > {before}"))
        .await;

    session.ask("document.querySelector('#shelf-button').focus()").await;
    session.keys(ENTER).await;
    session.wait_for("dialog[open]").await;
    for _ in 0..12 {
        session.keys(TAB).await;
        let inside =
            "const e = document.activeElement; return !!e.closest('dialog') || e === document.body";
        assert_eq!(session.ask(inside).await, json!(true), "the focus stays in the list");
    }
    session.keys(ESCAPE).await;
    session.wait_until("the list closed", "return !document.querySelector('dialog[open]')").await;
    assert_eq!(session.ask_text(focus).await, "shelf-button", "the focus is where it was");

    session.ask("document.querySelector('.menu summary').focus()").await;
    session.keys(ENTER).await;
    session.wait_for(".menu[open]").await;
    session.keys(TAB).await;
    session.keys(ESCAPE).await;
    session.wait_until("the menu closed", "return !document.querySelector('.menu').open").await;
    assert_eq!(session.ask_text(focus).await, "SUMMARY", "the focus is on what opens it");

    session.ask("document.querySelector('.fly-button').focus()").await;
    session.keys(ENTER).await;
    session.wait_for(".flight canvas").await;
    session.keys(ESCAPE).await;
    session.wait_until("the page again", "return !document.querySelector('.flight')").await;
    session.check_console().await;
    session.close().await;
}

/// The first visit is invited to a look round, once; the tour points at each
/// part, goes by keyboard, and Escape leaves it.
#[tokio::test]
async fn the_first_visit_is_shown_round() {
    let session = open(PHONE).await;
    session.wait_for(".invitation").await;
    press(&session, ".invitation button").await;
    for (step, place) in ["example", "bench", "balance", "throws", "fly"].into_iter().enumerate() {
        session
            .wait_until(
                place,
                &format!(
                    "const e = document.querySelector('.toured'), box = e?.getBoundingClientRect();
                     return e?.id === '{place}' && e.checkVisibility() && box.top < innerHeight && box.bottom > 0
                         && document.activeElement.id === 'tour-heading'"
                ),
            )
            .await;
        session.check_width().await;
        if step < 4 {
            press(&session, ".tour-onward").await;
        }
    }
    session.keys("\u{e00c}").await;
    session.wait_until("the end", "return !document.querySelector('.tour, .toured')").await;
    session.client.refresh().await.expect("the page loads again");
    session.wait_for("main").await;
    assert_eq!(
        session.ask("return document.querySelectorAll('.invitation').length").await,
        json!(0)
    );
    session.check_console().await;
    session.close().await;
}

/// A term shows its meaning to the keyboard and within the screen; Escape puts
/// it away.
#[tokio::test]
async fn terms_explain_themselves() {
    for size in [DESK, PHONE] {
        let session = open(size).await;
        session
            .ask("document.documentElement.style.scrollBehavior = 'auto'; document.querySelector('.invitation button.quiet').click()")
            .await;
        let count =
            session.ask("return document.querySelectorAll('.answers .term > button').length").await;
        assert!(count.as_u64() >= Some(6), "{count}");
        for index in 0..count.as_u64().unwrap_or(0) {
            session
                .ask(&format!(
                    "document.querySelectorAll('.answers .term > button')[{index}].focus()"
                ))
                .await;
            session
                .wait_until(
                    &format!("the meaning of term {index} within the screen"),
                    "const name = document.activeElement;
                     const meaning = document.getElementById(name.getAttribute('aria-describedby'));
                     const box = meaning.getBoundingClientRect();
                     return meaning.checkVisibility() && box.height > 20
                         && box.left >= 0 && box.right <= innerWidth && box.top >= 0 && box.bottom <= innerHeight",
                )
                .await;
        }
        session.keys("\u{e00c}").await;
        let shown = "return [...document.querySelectorAll('.term-meaning')].filter(m => m.checkVisibility()).length";
        assert_eq!(session.ask(shown).await, json!(0));
        session.close().await;
    }
}

/// Who hears the page is told of new answers once the hand rests, and has each
/// figure as a table.
#[tokio::test]
async fn what_is_drawn_is_also_said() {
    let session = open(DESK).await;
    session
        .ask(
            "window.told = [];
             new MutationObserver(() => told.push(document.querySelector('#news').innerText))
                 .observe(document.querySelector('#news'), { childList: true, characterData: true, subtree: true })",
        )
        .await;
    for chord in ["205", "210", "215"] {
        session.set_input("#surfaces-0--panels-0--root_chord_m", chord).await;
    }
    session.wait_until("the news", "return told.length > 0").await;
    let told = session.ask("return told").await;
    assert_eq!(told.as_array().map(Vec::len), Some(1), "{told}");
    assert!(told.to_string().contains("New answers."), "{told}");
    session.ask("document.querySelectorAll('.figure-table').forEach(d => d.open = true)").await;
    session.wait_for(".figure-table td").await;
    let tables = session
        .ask(
            "return [...document.querySelectorAll('.figure-table table')].map(t =>
                 t.rows.length > 3 && t.caption.innerText.length > 3
                 && [...t.querySelectorAll('td')].every(d => /^\u{2212}?[0-9.]+$/.test(d.innerText)))",
        )
        .await;
    let figures = session.ask("return document.querySelectorAll('.figure').length").await;
    assert_eq!(tables.as_array().map(|t| t.len() as u64), figures.as_u64());
    assert!(
        tables.as_array().is_some_and(|t| t.iter().all(|fine| fine == &json!(true))),
        "{tables}"
    );
    session.close().await;
}

/// Back leaves the field, not the page.
/// Back closes the card and leaves the same aeroplane on the page.
#[tokio::test]
async fn back_closes_the_card() {
    let session = open(DESK).await;
    session.set_input("#surfaces-0--panels-0--dihedral_deg", "3.25").await;
    press(&session, "#throws .card-open").await;
    session.wait_for(".card-page").await;
    session.client.back().await.expect("Back");
    session.wait_until("the page", "return !document.querySelector('.card-page')").await;
    let kept = session
        .ask("return document.querySelector('#surfaces-0--panels-0--dihedral_deg').value")
        .await;
    assert_eq!(kept, json!("3.25"));
    session.check_console().await;
    session.close().await;
}

#[tokio::test]
async fn back_leaves_the_field() {
    let session = open(DESK).await;
    for by_back in [true, false] {
        press(&session, ".panel-fly > .fly-button").await;
        session.wait_for(".flight canvas").await;
        if by_back {
            session.client.back().await.expect("Back");
        } else {
            press(&session, ".flight-buttons button").await;
        }
        session.wait_until("the page", "return !document.querySelector('.flight')").await;
        session.wait_until("its entry", "return history.state !== 'over the page'").await;
        assert_eq!(session.ask("return document.querySelectorAll('main').length").await, json!(1));
    }
    session.close().await;
}
