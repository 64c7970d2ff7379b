//! Tells cargo to build again when a rule, a table or a spec of the demo shop comes or goes: they are embedded.

fn main() {
    for folder in ["rules", "specs"] {
        println!("cargo::rerun-if-changed={folder}");
    }
}
