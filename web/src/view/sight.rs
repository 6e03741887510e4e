//! What of the page is in sight.

use std::rc::Rc;

use leptos::prelude::*;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Element, IntersectionObserver, IntersectionObserverEntry};

use crate::state::Sheet;
use crate::state::live::effect;
use crate::state::panes::{self, Needs, Shown};

/// Watches whether an element is in sight for as long as it is kept.
struct Watch {
    observer: IntersectionObserver,
    _changed: Closure<dyn Fn(js_sys::Array)>,
}

impl Drop for Watch {
    fn drop(&mut self) {
        self.observer.disconnect();
    }
}

/// Tells whenever an element comes into sight or leaves it, until the present
/// owner goes. In a browser that cannot tell, all is in sight.
pub fn watch(element: &Element, tell: Box<dyn Fn(bool)>) {
    let tell = Rc::<dyn Fn(bool)>::from(tell);
    let told = Rc::clone(&tell);
    let changed = Closure::<dyn Fn(js_sys::Array)>::new(move |entries: js_sys::Array| {
        let last: IntersectionObserverEntry = entries.pop().unchecked_into();
        told(last.is_intersecting());
    });
    match IntersectionObserver::new(changed.as_ref().unchecked_ref()) {
        Ok(observer) => {
            observer.observe(element);
            StoredValue::new_local(Watch { observer, _changed: changed });
        }
        Err(_) => tell(true),
    }
}

/// The sheet as a pane of the page sees it: its answers follow an edit at once
/// while the element with this identifier is in sight, else once the hand rests.
///
/// It must not look at throws, linkages or the answers to the sticks, for which
/// there is [`pane_with`].
pub fn pane(sheet: Sheet, id: &'static str) -> Sheet {
    pane_with(sheet, id, Needs::Flight)
}

/// The same for a pane that shows more.
pub fn pane_with(sheet: Sheet, id: &'static str, needs: Needs) -> Sheet {
    let latest = sheet.outcome;
    let mut own = sheet;
    own.outcome = RwSignal::new(latest.get_untracked());
    own.late.revision = RwSignal::new(sheet.late.revision.get_untracked());
    let shown = Shown { outcome: own.outcome, revision: own.late.revision };
    let number = panes::add(shown, needs);
    on_cleanup(move || panes::remove(number));
    // The element is there when effects run.
    effect(move || {
        let Some(element) = document().get_element_by_id(id) else { return };
        watch(
            &element,
            Box::new(move |in_sight| {
                if let Some(latest) = latest.try_get_untracked() {
                    panes::set_in_sight(number, in_sight, &latest);
                }
            }),
        );
    });
    own
}
