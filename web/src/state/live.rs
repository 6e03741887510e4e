//! Memos and effects, each through one door.
//!
//! The library compiles all that belongs to a memo or an effect anew for every
//! closure: half a kilobyte each. Behind a box they are compiled once for every
//! type of value.

use leptos::prelude::{Effect, Memo};

/// A value that is worked out anew when a signal it rests on changes; what rests
/// on it hears of it only where it differs.
pub fn memo<T: PartialEq + Send + Sync + 'static>(
    value: impl Fn() -> T + Send + Sync + 'static,
) -> Memo<T> {
    boxed_memo(Box::new(value))
}

#[inline(never)]
fn boxed_memo<T: PartialEq + Send + Sync + 'static>(
    value: Box<dyn Fn() -> T + Send + Sync>,
) -> Memo<T> {
    Memo::new(move |_| value())
}

/// Does something now, and again when a signal it looks at changes.
pub fn effect(act: impl FnMut() + 'static) {
    boxed_effect(Box::new(act));
}

#[inline(never)]
fn boxed_effect(mut act: Box<dyn FnMut()>) {
    Effect::new(move |_| act());
}
