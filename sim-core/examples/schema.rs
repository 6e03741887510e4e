//! Prints the JSON Schema of the aircraft file.
//!
//! `cargo run -p sim-core --example schema > docs/aircraft.schema.json`

fn main() -> Result<(), serde_json::Error> {
    println!("{}", serde_json::to_string_pretty(&sim_core::aircraft::schema())?);
    Ok(())
}
