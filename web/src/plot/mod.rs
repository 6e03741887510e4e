//! Drawings and curves, as plain shapes and lines; no physics and no words.

pub mod three_view;
