//! Nothing that was typed is lost: closing, several aeroplanes, two tabs, a
//! memory that is full, switched off or damaged, links, Back.

use serde_json::{Value, json};

use crate::session::Session;

const CHORD: &str = "#surfaces-0--panels-0--root_chord_m";
const NAME: &str = "#name";
const TAB: &str = "\u{e004}";

async fn open() -> Session {
    Session::open(1440, 900, 1.0).await
}

async fn chord(session: &Session) -> String {
    session.ask_text(&format!("return document.querySelector('{CHORD}').value")).await
}

/// Loads the page anew, as a visitor who comes back would.
async fn reload(session: &Session) {
    session.client.refresh().await.expect("the page loads again");
    session.wait_for("main").await;
}

async fn press(session: &Session, selector: &str) {
    session.ask(&format!("document.querySelector({}).click()", json!(selector))).await;
}

/// The button of a row of the list whose label begins so.
async fn press_labelled(session: &Session, label: &str) {
    press(session, &format!("dialog [aria-label^={}]", json!(label))).await;
}

async fn notice(session: &Session, words: &str) {
    let script = format!(
        "return [...document.querySelectorAll('.notice')].some(n => n.innerText.includes({}))",
        json!(words)
    );
    session.wait_until(words, &script).await;
}

/// Texts in the device's memory whose keys begin so.
async fn kept(session: &Session, prefix: &str) -> Vec<String> {
    let script = format!(
        "return Object.keys(localStorage).filter(k => k.startsWith('{prefix}')).sort().map(k => localStorage[k])"
    );
    let texts = session.ask(&script).await;
    let texts = texts.as_array().cloned().unwrap_or_default();
    texts.iter().filter_map(Value::as_str).map(str::to_owned).collect()
}

#[tokio::test]
async fn an_edit_is_there_again_after_closing() {
    let session = open().await;
    assert!(
        kept(&session, "fledge.aeroplane.").await.is_empty(),
        "an example is not yet one's own"
    );
    session.set_input(CHORD, "211").await;
    reload(&session).await;
    assert_eq!(chord(&session).await, "211");
    assert_eq!(session.text(".safety").await, "Kept on this device");
    // The question asked of an example is one's own too.
    session.ask("localStorage.clear(); history.replaceState(null, '')").await;
    reload(&session).await;
    session.ask("document.querySelector('#skill-expert').click()").await;
    session
        .wait_until(
            "it is kept",
            "return document.querySelector('.safety').innerText === 'Kept on this device'",
        )
        .await;
    reload(&session).await;
    assert_eq!(
        session.ask("return document.querySelector('#skill-expert').checked").await,
        json!(true)
    );
    session.check_console().await;
    session.close().await;
}

/// Open, name, copy, remove and bring back; each aeroplane stays what it was.
#[tokio::test]
async fn several_aeroplanes_are_kept_apart() {
    let session = open().await;
    session.set_input(NAME, "First").await;
    session.set_input(CHORD, "211").await;
    press(&session, "#shelf-button").await;
    press_labelled(&session, "Duplicate: First").await;
    session.wait_for("dialog [aria-label='Open: First, copy']").await;
    press_labelled(&session, "Open: First, copy").await;
    session
        .wait_until(
            "the copy",
            &format!("return document.querySelector('{NAME}').value === 'First, copy'"),
        )
        .await;
    session.set_input(CHORD, "222").await;
    assert_eq!(kept(&session, "fledge.aeroplane.").await.len(), 2);

    session.client.back().await.expect("Back");
    session
        .wait_until(
            "the first again",
            &format!("return document.querySelector('{NAME}').value === 'First'"),
        )
        .await;
    assert_eq!(chord(&session).await, "211");

    press(&session, "#shelf-button").await;
    press_labelled(&session, "Remove: First, copy").await;
    session.wait_for("dialog [aria-label='Bring back: First, copy']").await;
    assert_eq!(kept(&session, "fledge.aeroplane.").await.len(), 1);
    press_labelled(&session, "Bring back: First, copy").await;
    session.wait_for("dialog [aria-label='Open: First, copy']").await;
    press_labelled(&session, "Open: First, copy").await;
    session
        .wait_until(
            "the copy",
            &format!("return document.querySelector('{CHORD}').value === '222'"),
        )
        .await;

    // What was typed over one name does not stay on the row of the next.
    press(&session, "#shelf-button").await;
    let first = "document.querySelector('dialog li:first-child input')";
    session.ask(&format!("{first}.focus()")).await;
    session.keys("Gone").await;
    session.keys(TAB).await;
    press_labelled(&session, "Remove: First").await;
    session.wait_for("dialog [aria-label^='Bring back']").await;
    let name = session.ask_text(&format!("return {first}.value")).await;
    assert_eq!(name, "First, copy");
    session.check_console().await;
    session.close().await;
}

/// Starting from an example leaves the own aeroplane where it is, and Undo goes
/// back to it.
#[tokio::test]
async fn an_example_does_not_replace_what_is_kept() {
    let session = open().await;
    session.set_input(CHORD, "211").await;
    let before = kept(&session, "fledge.aeroplane.").await;
    let updates = session.updates().await;
    session
        .ask(
            "const select = document.querySelector('#example');
             select.value = [...select.options].at(-1).value;
             select.dispatchEvent(new Event('change', { bubbles: true }))",
        )
        .await;
    session
        .wait_until(
            "the example",
            &format!("return Number(document.body.dataset.updates) > {updates}"),
        )
        .await;
    assert_eq!(kept(&session, "fledge.aeroplane.").await, before);
    press(&session, ".title-history button").await;
    session
        .wait_until("undo", &format!("return document.querySelector('{CHORD}').value === '211'"))
        .await;
    assert_eq!(kept(&session, "fledge.aeroplane.").await, before);
    session.close().await;
}

#[tokio::test]
async fn a_damaged_text_is_told_and_left_as_it_is() {
    let session = open().await;
    for (key, text) in [("aeroplane.0123abcd", "{\"aircraft\": {\"format"), ("design", "not json")]
    {
        session
            .ask(&format!(
                "localStorage.clear(); history.replaceState(null, '');
                 localStorage['fledge.{key}'] = {}; localStorage['fledge.last'] = '0123abcd'",
                json!(text)
            ))
            .await;
        reload(&session).await;
        notice(&session, "put aside").await;
        assert_eq!(kept(&session, "fledge.unreadable.").await, [text]);
        session.set_input(CHORD, "211").await;
        assert_eq!(kept(&session, "fledge.unreadable.").await, [text], "an edit leaves it alone");
        assert_eq!(kept(&session, "fledge.aeroplane.").await.len(), 1);
        press(&session, "#shelf-button").await;
        session.wait_for("dialog [aria-label^='Save the text']").await;
    }
    session.close().await;
}

/// The first version kept one design under one key.
#[tokio::test]
async fn what_the_first_version_kept_is_on_the_shelf() {
    let session = open().await;
    session.set_input(CHORD, "211").await;
    session
        .ask(
            "const key = Object.keys(localStorage).find(k => k.startsWith('fledge.aeroplane.'));
             const text = localStorage[key];
             localStorage.clear(); history.replaceState(null, '');
             localStorage['fledge.design'] = text",
        )
        .await;
    // Nothing is written while the page closes: the design is the one it kept.
    reload(&session).await;
    assert_eq!(chord(&session).await, "211");
    assert_eq!(kept(&session, "fledge.aeroplane.").await.len(), 1);
    assert!(kept(&session, "fledge.design").await.is_empty());
    session.close().await;
}

#[tokio::test]
async fn a_full_memory_is_told_and_nothing_is_lost() {
    let session = open().await;
    session.set_input(CHORD, "211").await;
    let before = kept(&session, "fledge.aeroplane.").await;
    session
        .ask(
            "let block = 'x'.repeat(1 << 20);
             for (let i = 0; block; i++) {
                 try { localStorage[`filler.${i}`] = block } catch { block = block.slice(block.length / 2 + 1) }
             }",
        )
        .await;
    // Longer than the text before, so that it does not fit into its place.
    session.set_input(NAME, &"A long name ".repeat(6)).await;
    notice(&session, "memory of this browser is full").await;
    assert_eq!(session.text(".safety").await, "Not kept");
    assert_eq!(kept(&session, "fledge.aeroplane.").await, before);
    session.ask("Object.keys(localStorage).filter(k => k.startsWith('filler')).forEach(k => localStorage.removeItem(k))").await;
    session.set_input(CHORD, "212").await;
    session
        .wait_until("no more warning", "return !document.querySelector('.notice-refused')")
        .await;
    reload(&session).await;
    assert_eq!(chord(&session).await, "212");
    session.close().await;
}

#[tokio::test]
async fn a_browser_that_keeps_nothing_is_told() {
    let session = open().await;
    session
        .cdp(
            "Page.addScriptToEvaluateOnNewDocument",
            json!({ "source": "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError') } })" }),
        )
        .await;
    reload(&session).await;
    session.set_input(CHORD, "211").await;
    notice(&session, "keeps nothing").await;
    assert_eq!(chord(&session).await, "211");
    session.close().await;
}

/// A second tab follows the first; where both changed at once, both are kept.
#[tokio::test]
async fn two_tabs_never_write_over_each_other() {
    let session = open().await;
    session.set_input(CHORD, "211").await;
    let first = session.client.window().await.expect("this tab");
    let page = session.client.current_url().await.expect("its address");
    let second = session.client.new_window(true).await.expect("another tab").handle;
    session.client.switch_to_window(second.clone()).await.expect("the other tab");
    session.client.goto(page.as_str()).await.expect("the page");
    session.wait_for("main").await;
    assert_eq!(chord(&session).await, "211");
    session.set_input(CHORD, "222").await;

    session.client.switch_to_window(first.clone()).await.expect("the first tab");
    session
        .wait_until(
            "the other's change",
            &format!("return document.querySelector('{CHORD}').value === '222'"),
        )
        .await;
    notice(&session, "changed in another tab").await;
    assert_eq!(kept(&session, "fledge.aeroplane.").await.len(), 1);

    // A change that comes between this tab's last look and its next writing.
    session
        .ask(
            "const key = Object.keys(localStorage).find(k => k.startsWith('fledge.aeroplane.'));
             localStorage[key] = localStorage[key].replace('0.222', '0.233')",
        )
        .await;
    session.set_input(CHORD, "244").await;
    notice(&session, "Both are kept").await;
    session
        .wait_until(
            "both",
            "return Object.keys(localStorage).filter(k => k.startsWith('fledge.aeroplane.')).length === 2",
        )
        .await;
    let texts = kept(&session, "fledge.aeroplane.").await.concat();
    assert!(texts.contains("0.233") && texts.contains("0.244"), "{texts}");
    session.close().await;
}

/// A link opens beside what is kept; reloading goes on with what was changed
/// since; a broken one is told and changes nothing.
#[tokio::test]
async fn a_link_opens_beside_what_is_kept() {
    let session = open().await;
    session.set_input(CHORD, "211").await;
    press(&session, ".menu summary").await;
    // Headless browsers refuse the clipboard, then the link is shown.
    session.ask("[...document.querySelectorAll('.menu-list button')].find(b => b.innerText === 'Copy a link').click()").await;
    session.wait_for(".notice p").await;
    assert_eq!(
        session.ask("return document.querySelector('.menu').open").await,
        json!(false),
        "the menu does not lie over what is told"
    );
    let mut link = session.text(".notice p").await;
    if !link.starts_with("http") {
        link = session
            .client
            .execute_async("const done = arguments[0]; navigator.clipboard.readText().then(done, () => done(''))", vec![])
            .await
            .expect("the clipboard")
            .as_str()
            .unwrap_or_default()
            .to_owned();
    }
    assert!(link.contains("#design="), "{link}");
    session.set_input(CHORD, "222").await;

    session.client.goto(&link).await.expect("the link");
    session
        .wait_until(
            "the linked one",
            &format!("return document.querySelector('{CHORD}')?.value === '211'"),
        )
        .await;
    assert_eq!(session.ask("return location.hash").await, json!(""));
    assert_eq!(kept(&session, "fledge.aeroplane.").await.len(), 2);
    session.set_input(CHORD, "233").await;
    reload(&session).await;
    assert_eq!(chord(&session).await, "233");

    let before = kept(&session, "fledge.aeroplane.").await;
    session.client.goto(&link[..link.len() - 40]).await.expect("half a link");
    notice(&session, "link could not be read").await;
    assert_eq!(chord(&session).await, "233");
    assert_eq!(kept(&session, "fledge.aeroplane.").await, before);

    // A page that opens with a link reads it, whatever it had open last.
    for address in [&link[..], &link[..link.len() - 40]] {
        session.client.goto("about:blank").await.expect("no page");
        session.client.goto(address).await.expect("the link");
        session
            .wait_until(
                "the linked one",
                &format!("return document.querySelector('{CHORD}')?.value === '211'"),
            )
            .await;
        assert_eq!(kept(&session, "fledge.aeroplane.").await.len(), 3);
    }
    notice(&session, "link could not be read").await;
    session.close().await;
}

/// Which values nobody has measured belongs to the aeroplane: another one on the
/// sheet has none of the marks, and the first has them again when it comes back.
#[tokio::test]
async fn marks_of_what_is_not_measured_belong_to_the_aeroplane() {
    let session = open().await;
    let marks = "document.querySelectorAll('#bench .usual').length";
    session.ask("document.querySelector('#new-go').click()").await;
    session.wait_until("marks", &format!("return {marks} > 10")).await;
    session
        .ask(
            "const select = document.querySelector('#example');
             select.value = select.options[2].value;
             select.dispatchEvent(new Event('change', { bubbles: true }));",
        )
        .await;
    session.wait_until("no marks", &format!("return {marks} === 0")).await;
    session.client.back().await.expect("Back");
    session.wait_until("marks again", &format!("return {marks} > 10")).await;
    session.check_console().await;
    session.close().await;
}
