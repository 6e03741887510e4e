//! What is said about keeping: aeroplanes on the device, tabs, new builds.

use crate::state::device::Refusal;
use crate::state::device::keeping::Safety;

/// Opens the list of aeroplanes.
pub const AEROPLANES: &str = "Aeroplanes";
/// Heading of the list.
pub const ON_THIS_DEVICE: &str = "Aeroplanes on this device";
/// One line under it.
pub const LEDE: &str = "Each is kept as you change it. Nothing leaves the device unless you save a file or copy a link.";
/// Where there is none.
pub const NONE_YET: &str = "None yet: the first one is kept as soon as you change a measurement.";
/// Beside the aeroplane on the sheet.
pub const OPEN_NOW: &str = "on the sheet now";
/// Buttons of an aeroplane.
pub const OPEN: &str = "Open";
/// As above.
pub const DUPLICATE: &str = "Duplicate";
/// As above.
pub const REMOVE: &str = "Remove";
/// Field with the name of an aeroplane in the list.
pub const NAME: &str = "Name";
/// Heading of those that were removed.
pub const REMOVED: &str = "Removed";
/// As above.
pub const BRING_BACK: &str = "Bring back";
/// As above.
pub const DISCARD: &str = "Remove for good";
/// Heading of the texts that could not be read.
pub const UNREADABLE: &str = "Could not be read";
/// What they are.
pub const UNREADABLE_LEDE: &str = "These texts were kept here but are not understood. They are unchanged: save one to look at it, or to send it to someone who can.";
/// Saves such a text.
pub const SAVE_TEXT: &str = "Save the text";
/// Name of the file for such a text.
pub const UNREADABLE_FILE: &str = "unreadable-aeroplane.txt";
/// Closes the list.
pub const CLOSE: &str = "Close";

/// Two tabs changed one aeroplane at once.
pub const CAME_BETWEEN: &str =
    "Another tab changed this aeroplane at the same time. Both are kept: yours is now a copy.";
/// Another tab changed what is on the sheet.
pub const CHANGED_ELSEWHERE: &str =
    "This aeroplane was changed in another tab; here is the newest. Undo shows the one before.";
/// Another tab removed what is on the sheet.
pub const REMOVED_ELSEWHERE: &str = "This aeroplane was removed in another tab. It is still on the sheet here; the next change keeps it again.";

/// A new build waits.
pub const NEW_BUILD: &str = "A new version of Fledge is ready. It is taken when you reload this page and no other tab has it open.";
/// Takes it.
pub const RELOAD: &str = "Reload";

/// The name of a copy that none of `others` has.
pub fn copy_of(name: &str, others: &[String]) -> String {
    let first = format!("{name}, copy");
    let numbered = (2..).map(|number| format!("{first} {number}"));
    let mut names = std::iter::once(first.clone()).chain(numbered);
    names.find(|name| !others.contains(name)).unwrap_or_default()
}

/// Of a button for one aeroplane, for those who hear buttons one by one.
pub fn button_for(button: &str, name: &str) -> String {
    format!("{button}: {name}")
}

/// Whether the design is safe, in a few words.
pub fn safety(safety: Safety) -> &'static str {
    match safety {
        Safety::Untouched => "An example, as it comes",
        Safety::Kept => "Kept on this device",
        Safety::Refused(_) => "Not kept",
    }
}

/// Why the device keeps nothing, and what to do.
pub fn refused(refusal: Refusal) -> &'static str {
    match refusal {
        Refusal::Off => {
            "This browser keeps nothing for this page, as in a private window. Your design lives only in this tab: save it to a file before you close it."
        }
        Refusal::Full => {
            "The memory of this browser is full: your last change is not kept. Save the design to a file, or remove aeroplanes that you no longer need."
        }
    }
}

/// A text that could not be read, by the name it is kept under.
pub fn unreadable_name(name: &str) -> String {
    format!("Text {name}")
}
