//! Tells those who hear the page that the answers have changed: once the hand
//! rests, not at every step of a slider.

use std::time::Duration;

use leptos::prelude::*;

use crate::state::Sheet;
use crate::text::news as words;

/// How long nothing may have changed before it is told.
const REST: Duration = Duration::from_millis(1200);

/// What is read out; out of sight.
pub fn news(sheet: Sheet) -> impl IntoView {
    let said = RwSignal::new(String::new());
    let pending = StoredValue::new(None::<TimeoutHandle>);
    Effect::new(move |earlier: Option<()>| {
        sheet.outcome.track();
        // The first answers are read with the page.
        if earlier.is_none() {
            return;
        }
        if let Some(pending) = pending.get_value() {
            pending.clear();
        }
        let tell = move || {
            let news = sheet.outcome.with_untracked(|outcome| match &outcome.assessment {
                Some(assessment) if !outcome.stale => words::answers(assessment),
                _ => words::NO_NEW_ANSWERS.to_owned(),
            });
            said.set(news);
        };
        // Without a timer nothing is told; all is on the page.
        pending.set_value(set_timeout_with_handle(tell, REST).ok());
    });
    view! { <p class="for-ears" id="news" role="status">{said}</p> }
}
