//! The panel that leads to the field: fly, or take a lesson.

use leptos::prelude::*;
use sim_core::flight::lessons::LessonKey;

use super::board::Errand;
use super::comparison::comparisons;
use super::view::full_page;
use crate::state::Sheet;
use crate::state::live::memo;
use crate::text::flight as words;
use crate::text::lessons as lesson_words;
use crate::view::back::closes_on_back;

/// The panel, and the full page over everything while there is a flight.
pub fn entry(sheet: Sheet) -> impl IntoView {
    let errand = RwSignal::new(None::<Errand>);
    closes_on_back(move || errand.with(Option::is_some), move || errand.set(None));
    let ready = memo(move || {
        sheet.outcome.with(|o| o.assessment.is_some() && o.sound.is_some() && !o.stale)
    });
    let lesson = move |key: LessonKey| {
        view! {
            <li>
                <span class="lesson-name">{lesson_words::name(key)}</span>
                <span class="lesson-goal">{lesson_words::goal(key)}</span>
                <span class="lesson-buttons">
                    <button
                        type="button"
                        disabled=move || !ready.get()
                        aria-label=lesson_words::show_name(key)
                        on:click=move |_| errand.set(Some(Errand::Shown(key)))
                    >
                        {words::SHOW_ME}
                    </button>
                    <button
                        type="button"
                        disabled=move || !ready.get()
                        aria-label=lesson_words::try_name(key)
                        on:click=move |_| errand.set(Some(Errand::Lesson(key)))
                    >
                        {words::TRY_IT}
                    </button>
                </span>
            </li>
        }
    };
    view! {
        <section class="panel panel-fly" id="fly" aria-labelledby="fly-heading">
            <h2 id="fly-heading">{words::FLY_QUESTION}</h2>
            <p class="lede">{words::FLY_LEDE}</p>
            <button
                type="button"
                class="fly-button"
                disabled=move || !ready.get()
                on:click=move |_| errand.set(Some(Errand::Free))
            >
                {words::FLY_IT}
            </button>
            <details class="group">
                <summary>
                    <span class="group-name">{words::LESSONS}</span>
                    <span class="group-hint">{words::LESSONS_HINT}</span>
                </summary>
                <ol class="lessons">{LessonKey::ALL.map(lesson).into_iter().collect_view()}</ol>
            </details>
            <details class="group">
                <summary>
                    <span class="group-name">{lesson_words::COMPARE}</span>
                    <span class="group-hint">{lesson_words::COMPARE_HINT}</span>
                </summary>
                {comparisons(sheet, ready, errand)}
            </details>
            <p class="note">{words::NO_CLEARANCE}</p>
        </section>
        {move || errand.get().map(|first| full_page(sheet, first, move || errand.set(None)))}
    }
}
