//! What two degrees more or less dihedral would do to the bank by rudder.

use leptos::prelude::*;

use crate::state::Sheet;
use crate::text::sureness as words;

pub fn bank_against_dihedral(sheet: Sheet) -> impl IntoView {
    move || {
        let dated = sheet.late.present(sheet.late.dihedral)?;
        let now = sheet.outcome.with_untracked(|o| {
            Some(o.assessment.as_ref()?.rudder_bank.as_ref()?.step.bank_at_1_s_per_rad)
        })?;
        Some(view! { <p class="note">{words::bank_against_dihedral(now, &dated.result)}</p> })
    }
}
