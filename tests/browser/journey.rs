//! A newcomer's way from a blank sheet to throws, counted and pictured.
//!
//! Pictures of each step go below the target folder, or into the folder that
//! `FLEDGE_PICTURES` names, for a look by eye. How long it takes a practised hand
//! is estimated by the keystroke-level model of Card, Moran and Newell (1980; its
//! times from memory); the measuring itself comes on top.

use std::path::PathBuf;

use serde_json::json;

use crate::session::Session;

const DESK: (u32, u32, f64) = (1440, 900, 1.0);
const PHONE: (u32, u32, f64) = (390, 844, 2.0);

/// More entries than a builder has patience for.
const ENTRIES_MAX: usize = 60;

/// Longest that it may take from the blank sheet to the card, s.
const TIME_MAX_S: f64 = 300.0;

/// What the hands do, by the keystroke-level model.
#[derive(Debug, Default)]
struct Strokes {
    /// Keys and clicks.
    keys: usize,
    /// The pointer moved to a place.
    points: usize,
    /// A hand moved between keys and pointer.
    homes: usize,
    /// Thought about what comes next.
    thoughts: usize,
}

impl Strokes {
    /// Time of all of it, s: 0.28 for a key of an average typist, 1.1 to point,
    /// 0.4 to move the hand, 1.35 to think.
    fn time_s(&self) -> f64 {
        0.28 * self.keys as f64
            + 1.1 * self.points as f64
            + 0.4 * self.homes as f64
            + 1.35 * self.thoughts as f64
    }

    /// Finds something on the page and clicks it.
    fn click(&mut self) {
        self.keys += 1;
        self.points += 1;
        self.thoughts += 1;
    }

    /// Marks the text in a field by a double click and types over it.
    fn type_over(&mut self, text: &str) {
        self.click();
        self.keys += 1 + text.chars().count();
        self.homes += 2;
    }
}

/// What the newcomer measured: a pylon pusher of 1.1 m, in the page's units.
const MEASURED: [(&str, &str); 31] = [
    ("surfaces[0].root.aft_m", "255"),
    ("surfaces[0].root.up_m", "150"),
    ("surfaces[0].panels[0].span_m", "550"),
    ("surfaces[0].panels[0].root_chord_m", "190"),
    ("surfaces[0].panels[0].tip_chord_m", "170"),
    ("surfaces[0].panels[0].dihedral_deg", "6"),
    ("surfaces[0].panels[0].incidence_deg", "2"),
    ("surfaces[1].root.aft_m", "900"),
    ("surfaces[1].root.up_m", "60"),
    ("surfaces[1].panels[0].span_m", "200"),
    ("surfaces[1].panels[0].root_chord_m", "130"),
    ("surfaces[1].panels[0].tip_chord_m", "120"),
    ("surfaces[1].controls[0].inner_chord", "30"),
    ("surfaces[2].root.aft_m", "900"),
    ("surfaces[2].root.up_m", "65"),
    ("surfaces[2].panels[0].span_m", "165"),
    ("surfaces[2].panels[0].root_chord_m", "140"),
    ("surfaces[2].panels[0].tip_chord_m", "100"),
    ("surfaces[2].controls[0].inner_chord", "40"),
    ("bodies[0].rear.aft_m", "480"),
    ("bodies[0].width_m", "60"),
    ("bodies[0].height_m", "75"),
    ("bodies[2].rear.aft_m", "1030"),
    ("propulsion[0].propeller.diameter_m", "7"),
    ("propulsion[0].propeller.pitch_m", "5"),
    ("propulsion[0].hub.aft_m", "470"),
    ("propulsion[0].hub.up_m", "155"),
    ("propulsion[0].drive.motor.kv_rpm_per_v", "1300"),
    ("propulsion[0].drive.pack.capacity_ah", "1800"),
    ("mass.parts[0].spread.areal_density_kg_m2", "600"),
    ("mass.parts[3].spread.mass_kg", "68"),
];

/// An identifier as the page makes it from a path.
fn id(path: &str) -> String {
    path.chars().map(|c| if c.is_ascii_alphanumeric() || c == '_' { c } else { '-' }).collect()
}

/// A newcomer at the page, who counts what is entered.
struct Newcomer {
    session: Session,
    entries: usize,
    strokes: Strokes,
    name: &'static str,
    steps: usize,
}

impl Newcomer {
    async fn sit_down(name: &'static str, (width, height, density): (u32, u32, f64)) -> Self {
        let session = Session::open(width, height, density).await;
        Self { session, entries: 0, strokes: Strokes::default(), name, steps: 0 }
    }

    /// Shows a part of the page where only one has room; no entry.
    async fn look_at(&mut self, part: &str) {
        self.strokes.click();
        let script = format!(
            "const button = document.querySelector('.parts [aria-controls={part}]');
             if (button.checkVisibility()) button.click();
             return document.getElementById('{part}').checkVisibility()"
        );
        self.session.wait_until(part, &script).await;
    }

    /// Types or picks a value that needs no answer yet.
    async fn set(&mut self, selector: &str, value: &str) {
        self.session
            .client
            .execute(
                "const input = document.querySelector(arguments[0]);
                 input.value = arguments[1];
                 input.dispatchEvent(new Event('input', { bubbles: true }));
                 input.dispatchEvent(new Event('change', { bubbles: true }));",
                vec![json!(selector), json!(value)],
            )
            .await
            .unwrap_or_else(|error| panic!("{selector}: {error}"));
        self.entries += 1;
        self.strokes.type_over(value);
    }

    async fn type_number(&mut self, selector: &str, value: &str) {
        self.session.set_input(selector, value).await;
        self.entries += 1;
        self.strokes.type_over(value);
    }

    async fn press(&mut self, selector: &str) {
        let before = self.session.updates().await;
        self.session.ask(&format!("document.querySelector('{selector}').click()")).await;
        self.session
            .wait_until(
                selector,
                &format!("return Number(document.body.dataset.updates || 0) > {before}"),
            )
            .await;
        self.entries += 1;
        self.strokes.click();
    }

    /// Keeps a picture of the step.
    async fn picture(&mut self, step: &str) {
        self.steps += 1;
        self.session.check_width().await;
        let folder = std::env::var_os("FLEDGE_PICTURES").map_or_else(
            || PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("journey"),
            PathBuf::from,
        );
        std::fs::create_dir_all(&folder).expect("a folder for the pictures");
        let picture = self.session.client.screenshot().await.expect("a picture");
        let file = folder.join(format!("{}-{}-{step}.png", self.name, self.steps));
        std::fs::write(&file, picture).expect("the picture is kept");
    }

    async fn go(mut self) {
        self.look_at("bench").await;
        self.picture("first-sight").await;
        self.session.ask("document.querySelector('#new').open = true").await;
        self.set("#name", "Alder pusher").await;
        // The second layout: wing on a pylon, propeller behind it.
        self.set("#new-layout", "1").await;
        self.set("#new-span", "1100").await;
        self.set("#new-chord", "180").await;
        self.set("#new-mass", "720").await;
        self.picture("begin").await;
        self.press("#new-go").await;
        self.picture("laid-out").await;
        // A measurement may confirm the usual value, which changes nothing; the
        // last one does not.
        let (last, confirmed) = MEASURED.split_last().expect("measurements");
        for (path, value) in confirmed {
            self.set(&format!("#{}", id(path)), value).await;
        }
        self.type_number(&format!("#{}", id(last.0)), last.1).await;
        self.look_at("drawing").await;
        self.picture("measured").await;
        self.balance().await;
        self.throws().await;
        self.card().await;
        let (name, entries, time_s) = (self.name, self.entries, self.strokes.time_s());
        println!("{name}: {entries} entries from a blank sheet to the card, {:?}", self.strokes);
        println!("{name}: {time_s:.0} s by the keystroke-level model");
        assert!(entries < ENTRIES_MAX, "{entries} entries");
        assert!(time_s < TIME_MAX_S, "{time_s} s");
        self.session.check_console().await;
        self.session.close().await;
    }

    /// Slides the pack as the page advises until it balances.
    async fn balance(&mut self) {
        self.look_at("answers").await;
        self.session
            .ask("document.querySelector('#balance').scrollIntoView({behavior: 'instant'})")
            .await;
        self.picture("balance").await;
        let pack = "return [...document.querySelectorAll('[id^=mass-parts][id$=--name]')]
            .find(input => input.value === 'pack').id.replace('--name', '--spread-at-aft_m')";
        let pack = format!("#{}", self.session.ask_text(pack).await);
        let inside =
            "return document.querySelector('#balance .verdict').innerText.includes('Inside')";
        for _ in 0..8 {
            if self.session.ask(inside).await == json!(true) {
                break;
            }
            let words = self.session.text("#balance .lede").await;
            let way = if words.contains(" forward") { -1.0 } else { 1.0 };
            let now = format!("return Number(document.querySelector('{pack}').value)");
            let now = self.session.ask(&now).await.as_f64().expect("the pack's place");
            let words: Vec<&str> = words.split_whitespace().collect();
            let advised = words.windows(2).find(|pair| pair[1] == "mm");
            let by: f64 = advised.and_then(|pair| pair[0].parse().ok()).expect("how far to slide");
            self.type_number(&pack, &(now + way * by).to_string()).await;
        }
        assert_eq!(self.session.ask(inside).await, json!(true), "it balances");
        self.picture("balanced").await;
    }

    async fn throws(&mut self) {
        self.session
            .ask("document.querySelector('#throws').scrollIntoView({behavior: 'instant'})")
            .await;
        let rows = self.session.text("#throws .throws-table").await;
        assert!(rows.contains("Elevator") && rows.contains("Rudder"), "{rows}");
        let faults =
            self.session.ask("return document.querySelector('.faults')?.innerText ?? ''").await;
        assert_eq!(faults, json!(""));
        self.picture("throws").await;
    }

    async fn card(&mut self) {
        self.session.ask("document.querySelector('#throws .card-open').click()").await;
        self.session.wait_for(".card-page .card-bar").await;
        self.entries += 1;
        self.strokes.click();
        self.picture("card").await;
    }
}

#[tokio::test]
async fn a_newcomer_gets_throws_at_the_desk() {
    Newcomer::sit_down("desk", DESK).await.go().await;
}

#[tokio::test]
async fn a_newcomer_gets_throws_on_the_phone() {
    Newcomer::sit_down("phone", PHONE).await.go().await;
}
