//! A spec as text: YAML read into a tree in which every key and every value knows its bytes.
//!
//! This module knows YAML, files and parts books. It does not know what a field means.
//!
//! ```text
//! bytes ─▶ read ─▶ Document { tree, problems } ─▶ overlay (parts books) ─▶ Tree::find, Tree::to_json
//! ```
//!
//! A file is hostile until it is read: it may be of any size, any bytes, nested without end or grown by aliases.
//! The [`limits`] are checked while reading, and nothing is ever expanded to find out how large it would be.

mod book;
mod build;
mod explain;
pub mod limits;
mod nearest;
mod read;
mod scalar;
mod source;
mod tree;

#[cfg(test)]
mod tests;

pub use book::{Shelf, overlay};
pub use nearest::{did_you_mean, nearest};
pub use read::{Document, Outcome, read};
pub use scalar::{Scalar, Value};
pub use source::{Position, Source, Sources};
pub use tree::{Entry, Found, Kind, Map, Node, NodeId, Ref, Tree, Via};
