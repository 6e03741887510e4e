//! What to set: throws, rates and expo, and the linkage that gives them.
//!
//! [`linkage`] and [`servo`] turn servo angle into surface angle and back,
//! [`pushrod`] says whether it holds, [`holes`] chooses the holes.

pub mod holes;
pub mod linkage;
pub mod pushrod;
pub mod servo;
