//! What to set: throws, rates and expo, the linkage that gives them, and how
//! sure all of it is.
//!
//! [`advice`] sets what a manoeuvre needs ([`authority`]) against what the
//! pilot bears ([`sensitivity`]). [`linkage`] and [`servo`] turn servo angle into surface angle and back,
//! [`pushrod`] says whether it holds, [`holes`] chooses the holes;
//! [`sampling`] spreads measurement errors over any result.

pub mod advice;
pub mod authority;
#[cfg(test)]
mod cases;
pub mod holes;
pub mod linkage;
pub mod pushrod;
pub mod sampling;
pub mod sensitivity;
pub mod servo;
