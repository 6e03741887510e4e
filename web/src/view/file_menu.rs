//! Files in and out, and a link that carries the design.

use leptos::html::Input;
use leptos::prelude::*;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, HtmlAnchorElement, Url};

use super::bench::fold;
use super::tour::Tour;
use crate::state::{Design, Sheet, file};
use crate::text::{self, word};

pub fn file_menu(sheet: Sheet) -> impl IntoView {
    let tour = use_context::<Tour>();
    let chooser = NodeRef::<Input>::new();
    let choose = move |_| {
        if let Some(chooser) = chooser.get_untracked() {
            chooser.click();
        }
    };
    let opened = move |_| {
        let Some(chooser) = chooser.get_untracked() else { return };
        let chosen = chooser.files().and_then(|files| files.get(0));
        // So that the same file can be opened again.
        chooser.set_value("");
        if let Some(chosen) = chosen {
            leptos::task::spawn_local(open(sheet, chosen));
        }
    };
    let save = move |_| {
        if save_file(sheet).is_err() {
            sheet.tell(word::FILE_NOT_SAVED);
        }
    };
    // Packed when the menu opens: browsers let only a click write to the
    // clipboard, and what waits for something else is no click any more.
    let packed = StoredValue::new(None::<(Design, String)>);
    let pack = move |_| {
        leptos::task::spawn_local(async move {
            let design = sheet.design.get_untracked();
            let fragment = file::to_fragment(&design).await;
            packed.set_value(Some((design, fragment)));
        });
    };
    let copy = move |_| {
        let design = sheet.design.get_untracked();
        let ready = packed.get_value().filter(|(own, _)| *own == design);
        leptos::task::spawn_local(copy_link(sheet, ready.map(|(_, fragment)| fragment)));
    };
    let escape = |event: leptos::ev::KeyboardEvent| {
        if event.key() == "Escape" {
            fold("file");
        }
    };
    view! {
        <details class="menu" id="file" on:toggle=pack on:keydown=escape>
            <summary>{word::FILE}</summary>
            // Folded it does not lie over what it has to tell.
            <div class="menu-list" on:click=|_| fold("file")>
                <button type="button" on:click=save>{word::SAVE_FILE}</button>
                <button type="button" on:click=choose>{word::OPEN_FILE}</button>
                <button type="button" on:click=copy>{word::COPY_LINK}</button>
                <button type="button" on:click=move |_| if let Some(tour) = tour { tour.begin() }>
                    {text::tour::SHOW_ME}
                </button>
            </div>
            <input
                type="file"
                accept="application/json,.json"
                hidden
                aria-label=word::OPEN_FILE
                node_ref=chooser
                on:change=opened
            />
        </details>
    }
}

/// The last thing that the page had to tell, until it is dismissed.
pub fn notice(sheet: Sheet) -> impl IntoView {
    move || {
        sheet.notice.get().map(|notice| {
            view! {
                <div class="notice" role="status">
                    <p>{notice}</p>
                    <button type="button" class="quiet" on:click=move |_| sheet.notice.set(None)>
                        {word::DISMISS}
                    </button>
                </div>
            }
        })
    }
}

/// Saves the design to a file.
pub fn save_file(sheet: Sheet) -> Result<(), JsValue> {
    let (text, name) =
        sheet.design.with_untracked(|d| (file::write(d), text::file_name(&d.aircraft.name)));
    save_text(&text, &name)
}

/// Saves a text to a file.
pub fn save_text(text: &str, name: &str) -> Result<(), JsValue> {
    let blob = Blob::new_with_str_sequence(&js_sys::Array::of1(&text.into()))?;
    let address = Url::create_object_url_with_blob(&blob)?;
    let link: HtmlAnchorElement = document().create_element("a")?.unchecked_into();
    link.set_href(&address);
    link.set_download(name);
    link.click();
    Url::revoke_object_url(&address)
}

async fn open(sheet: Sheet, chosen: web_sys::File) {
    let text = JsFuture::from(chosen.text()).await.ok().and_then(|text| text.as_string());
    match text.as_deref().map(file::read) {
        Some(Ok(design)) => sheet.bring_in(design),
        Some(Err(error)) => sheet.tell(&text::file_not_read(&error)),
        None => sheet.tell(word::FILE_NOT_OPENED),
    }
}

async fn copy_link(sheet: Sheet, packed: Option<String>) {
    let fragment = match packed {
        Some(packed) => packed,
        None => file::to_fragment(&sheet.design.get_untracked()).await,
    };
    let location = window().location();
    let page = location.origin().and_then(|o| location.pathname().map(|p| o + &p));
    let link = format!("{}#{fragment}", page.unwrap_or_default());
    let clipboard = window().navigator().clipboard();
    match JsFuture::from(clipboard.write_text(&link)).await {
        Ok(_) => sheet.tell(word::LINK_COPIED),
        // Refused: show it, so that it can be copied by hand.
        Err(_) => sheet.tell(&link),
    }
}
