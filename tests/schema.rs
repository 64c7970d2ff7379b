//! The published schema is the blank form, both ways.

use rigproof::rig::blank;

/// Every field that the reader reads is in the schema with the same shape, and the schema has no other.
#[test]
fn the_published_schema_is_the_form_that_the_reader_reads() {
    let wanted = blank::text(&blank::schema());
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/schema/rig.schema.json");
    if std::env::var_os("RIGPROOF_WRITE_SCHEMA").is_some() {
        std::fs::write(path, &wanted).unwrap();
    }
    let held = std::fs::read_to_string(path).unwrap();
    assert!(held == wanted, "schema/rig.schema.json is not the blank form; run RIGPROOF_WRITE_SCHEMA=1 cargo test --test schema");
}
