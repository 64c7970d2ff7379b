//! What a file may be at most. A spec written by a person is far below every one of these; they stop a file that was
//! made to exhaust the machine.

/// Largest file, in bytes.
pub const FILE_BYTES: usize = 8 * 1024 * 1024;
/// Deepest nesting of mappings and lists, aliases followed.
pub const DEPTH: usize = 64;
/// Most values written in one file.
pub const NODES: usize = 200_000;
/// Most values one spec may stand for once its aliases, merges and parts books are followed.
pub const EXPANDED: u64 = 1_000_000;
/// Most documents (`---`) in one file.
pub const DOCUMENTS: usize = 1_000;
/// Most problems reported for one document.
pub const PROBLEMS: usize = 100;
/// Most parts books one spec may draw on, books of books included.
pub const BOOKS: usize = 64;
