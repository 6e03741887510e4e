//! Before and after, in numbers: only what differs.

use leptos::prelude::*;
use sim_core::aircraft::Aircraft;
use sim_core::assess::Assessment;

use crate::state::Sheet;
use crate::state::live::memo;
use crate::text::whatif as words;
use crate::view::answers::root_leading_edge_m;

/// An answer with its name, before and now.
#[derive(Debug, Clone, PartialEq)]
struct Row {
    name: String,
    before: String,
    now: String,
}

/// The table, where a design is pinned.
pub fn comparison(sheet: Sheet) -> impl IntoView {
    let rows = memo(move || {
        let pinned = sheet.pinned.get()?;
        let before = numbers(&pinned.design.aircraft, pinned.assessment()?);
        sheet.outcome.with(|outcome| {
            let now = numbers(outcome.sound.as_ref()?, outcome.assessment.as_ref()?);
            Some(pair(before, now))
        })
    });
    move || {
        let all = rows.get()?;
        let count = all.len();
        let changed: Vec<Row> = all.into_iter().filter(|row| row.before != row.now).collect();
        if changed.is_empty() {
            return Some(view! { <p class="note">{words::NO_CHANGE}</p> }.into_any());
        }
        let same = words::same(count - changed.len());
        let rows = changed.into_iter().map(|row| {
            view! {
                <tr>
                    <th scope="row">{row.name}</th>
                    <td class="before">{row.before}</td>
                    <td class="now">{row.now}</td>
                </tr>
            }
        });
        let table = view! {
            <table class="numbers">
                <thead>
                    <tr>
                        <th scope="col">{words::ANSWER}</th>
                        <th scope="col">{words::PINNED}</th>
                        <th scope="col">{words::NOW}</th>
                    </tr>
                </thead>
                <tbody>{rows.collect_view()}</tbody>
            </table>
            <p class="note">{same}</p>
        };
        Some(table.into_any())
    }
}

fn numbers(aircraft: &Aircraft, assessment: &Assessment) -> Vec<(String, String)> {
    words::numbers(assessment, root_leading_edge_m(aircraft))
}

/// Puts answers of one name side by side; what only one has stands alone.
fn pair(before: Vec<(String, String)>, now: Vec<(String, String)>) -> Vec<Row> {
    let none = || words::NONE.to_owned();
    let mut rows: Vec<Row> =
        before.into_iter().map(|(name, before)| Row { name, before, now: none() }).collect();
    let mut from = 0;
    for (name, value) in now {
        // Two roots of one kind share a name: each is paired once, in order.
        let found = rows.iter_mut().find(|row| row.name == name && row.now == words::NONE);
        match found {
            Some(row) => row.now = value,
            None => {
                rows.insert(from, Row { name, before: none(), now: value });
            }
        }
        from += 1;
        from = from.min(rows.len());
    }
    rows
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    fn list(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
        pairs.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect()
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn answers_of_one_name_stand_side_by_side() {
        let before = list(&[("a", "1"), ("root", "2"), ("root", "3"), ("gone", "4")]);
        let rows = pair(before, list(&[("a", "1"), ("root", "5"), ("root", "6"), ("new", "7")]));
        let texts: Vec<_> =
            rows.iter().map(|r| (r.name.as_str(), r.before.as_str(), r.now.as_str())).collect();
        for expected in [
            ("a", "1", "1"),
            ("root", "2", "5"),
            ("root", "3", "6"),
            ("gone", "4", "–"),
            ("new", "–", "7"),
        ] {
            assert!(texts.contains(&expected), "{expected:?} in {texts:?}");
        }
        assert_eq!(rows.len(), 5);
    }
}
