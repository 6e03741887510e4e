//! Drawings and curves, as plain shapes and lines; no physics and no words.

pub mod axis;
pub mod dimension;
pub mod figure;
pub mod mode_map;
pub mod palette;
pub mod ruler;
pub mod three_view;
