//! The list of aeroplanes kept on this device: open, name, copy, remove and
//! bring back; and what could not be read.

use leptos::html::{Dialog, H2};
use leptos::prelude::*;

use super::file_menu::save_text;
use crate::state::Sheet;
use crate::state::device::keeping::Step;
use crate::state::device::shelf::{self, Entry, Place};
use crate::state::device::{Refusal, keeping};
use crate::text::{self, shelf as words};

/// The button that opens the list, and the list.
pub fn shelf(sheet: Sheet) -> impl IntoView {
    let dialog = NodeRef::<Dialog>::new();
    let heading = NodeRef::<H2>::new();
    // Read anew whenever something in it was done.
    let looks = RwSignal::new(0_u32);
    let open = move |_| {
        keeping::keep(sheet);
        looks.update(|n| *n += 1);
        if let Some(dialog) = dialog.get_untracked() {
            // Fails only where it is open already.
            let _ = dialog.show_modal();
        }
    };
    let close = move || {
        if let Some(dialog) = dialog.get_untracked() {
            dialog.close();
        }
    };
    let list = List { sheet, looks, heading };
    view! {
        <button type="button" id="shelf-button" aria-haspopup="dialog" on:click=open>
            {words::AEROPLANES}
        </button>
        <dialog class="shelf" node_ref=dialog aria-labelledby="shelf-heading">
            <div class="shelf-head">
                <h2 id="shelf-heading" tabindex="-1" node_ref=heading>{words::ON_THIS_DEVICE}</h2>
                <button type="button" on:click=move |_| close()>{words::CLOSE}</button>
            </div>
            <p class="lede">{words::LEDE}</p>
            // What is told on the page lies behind the list.
            {move || sheet.notice.get().map(|notice| view! { <p class="conflict">{notice}</p> })}
            // Reading all that is kept takes a moment, so not before it is asked for.
            {move || (looks.get() > 0).then(|| view! {
                {list.kept(close)}
                {list.removed()}
                {list.unreadable()}
            })}
        </dialog>
    }
}

#[derive(Clone, Copy)]
struct List {
    sheet: Sheet,
    looks: RwSignal<u32>,
    heading: NodeRef<H2>,
}

impl List {
    /// Shows what has become of the list. The button that was pressed may be
    /// gone, so the heading takes the focus.
    fn look_again(self, done: Result<(), Refusal>) {
        if let Err(refusal) = done {
            self.sheet.tell(words::refused(refusal));
        }
        self.looks.update(|n| *n += 1);
        if let Some(heading) = self.heading.get_untracked() {
            let _ = heading.focus();
        }
    }

    fn kept(self, close: impl Fn() + Copy + Send + Sync + 'static) -> AnyView {
        let entries = shelf::all();
        if entries.is_empty() {
            return view! { <p class="note">{words::NONE_YET}</p> }.into_any();
        }
        let rows = entries.into_iter().map(|entry| self.row(entry, close)).collect_view();
        view! { <ul class="shelf-list">{rows}</ul> }.into_any()
    }

    fn rename(self, place: &Place, here: bool, name: String) {
        if here {
            self.sheet.change_design("name", |design| design.aircraft.name = name);
            keeping::keep(self.sheet);
        } else if let Err(refusal) = shelf::rename(place, &name) {
            self.sheet.tell(words::refused(refusal));
        }
    }

    fn put_away(self, place: &Place, here: bool) {
        let done = shelf::put_away(place);
        if here && done.is_ok() {
            self.sheet.leave_removed();
        }
        self.look_again(done);
    }

    fn row(self, entry: Entry, close: impl Fn() + Copy + Send + Sync + 'static) -> impl IntoView {
        let Self { sheet, .. } = self;
        let Entry { place, name } = entry;
        let here = sheet.kept.with_untracked(|k| k.as_ref().is_some_and(|k| k.place == place));
        let open = {
            let place = place.clone();
            move |_| {
                sheet.open_place(&place, Step::Onward);
                close();
            }
        };
        let rename = {
            let place = place.clone();
            move |event| self.rename(&place, here, event_target_value(&event))
        };
        let duplicate = {
            let place = place.clone();
            move |_| self.look_again(shelf::duplicate(&place))
        };
        let remove = move |_| self.put_away(&place, here);
        let label = |button: &str| words::button_for(button, &name);
        view! {
            <li>
                <input
                    type="text"
                    maxlength="80"
                    autocomplete="off"
                    aria-label=label(words::NAME)
                    prop:value=name.clone()
                    on:change=rename
                />
                <div class="shelf-buttons">
                    {if here {
                        view! { <span class="shelf-here">{words::OPEN_NOW}</span> }.into_any()
                    } else {
                        view! {
                            <button type="button" aria-label=label(words::OPEN) on:click=open>
                                {words::OPEN}
                            </button>
                        }.into_any()
                    }}
                    <button type="button" aria-label=label(words::DUPLICATE) on:click=duplicate>
                        {words::DUPLICATE}
                    </button>
                    <button type="button" aria-label=label(words::REMOVE) on:click=remove>
                        {words::REMOVE}
                    </button>
                </div>
            </li>
        }
    }

    fn removed(self) -> Option<impl IntoView> {
        let entries = shelf::removed();
        if entries.is_empty() {
            return None;
        }
        let row = move |Entry { place, name }: Entry| {
            let label = |button: &str| words::button_for(button, &name);
            let (bring, discard) = (label(words::BRING_BACK), label(words::DISCARD));
            let gone = place.clone();
            view! {
                <li>
                    <span>{name}</span>
                    <div class="shelf-buttons">
                        <button type="button" aria-label=bring on:click=move |_| {
                            self.look_again(shelf::bring_back(&place));
                        }>{words::BRING_BACK}</button>
                        <button type="button" aria-label=discard on:click=move |_| {
                            shelf::discard(&gone);
                            self.look_again(Ok(()));
                        }>{words::DISCARD}</button>
                    </div>
                </li>
            }
        };
        Some(view! {
            <h3>{words::REMOVED}</h3>
            <ul class="shelf-list">{entries.into_iter().map(row).collect_view()}</ul>
        })
    }

    fn unreadable(self) -> Option<impl IntoView> {
        let names = shelf::unreadable();
        if names.is_empty() {
            return None;
        }
        let row = move |name: String| {
            let shown = words::unreadable_name(&name);
            let label = |button: &str| words::button_for(button, &shown);
            let (save, discard) = (label(words::SAVE_TEXT), label(words::DISCARD));
            let gone = name.clone();
            view! {
                <li>
                    <span>{shown}</span>
                    <div class="shelf-buttons">
                        <button type="button" aria-label=save on:click=move |_| {
                            let text = shelf::unreadable_text(&name).unwrap_or_default();
                            if save_text(&text, words::UNREADABLE_FILE).is_err() {
                                self.sheet.tell(text::word::FILE_NOT_SAVED);
                            }
                        }>{words::SAVE_TEXT}</button>
                        <button type="button" aria-label=discard on:click=move |_| {
                            shelf::discard_unreadable(&gone);
                            self.look_again(Ok(()));
                        }>{words::DISCARD}</button>
                    </div>
                </li>
            }
        };
        Some(view! {
            <h3>{words::UNREADABLE}</h3>
            <p class="note">{words::UNREADABLE_LEDE}</p>
            <ul class="shelf-list">{names.into_iter().map(row).collect_view()}</ul>
        })
    }
}
