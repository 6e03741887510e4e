//! The published schema is the one that the code reads by.

use serde_json::Value;
use sim_core::aircraft::{EXAMPLES, schema};

/// After a change of the file's fields:
/// `cargo run -p sim-core --example schema > docs/aircraft.schema.json`.
#[test]
fn the_published_schema_is_up_to_date() {
    let published: Value =
        serde_json::from_str(include_str!("../../docs/aircraft.schema.json")).unwrap();
    assert!(published == schema(), "docs/aircraft.schema.json is out of date");
}

#[test]
fn every_field_of_the_examples_is_in_the_schema() {
    let properties = schema()["properties"].as_object().unwrap().clone();
    for example in EXAMPLES {
        let file: Value = serde_json::from_str(example.text).unwrap();
        for field in file.as_object().unwrap().keys() {
            assert!(properties.contains_key(field), "{}: {field}", example.key);
        }
    }
}
