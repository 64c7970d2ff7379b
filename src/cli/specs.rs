//! Finds and opens specs.

use std::path::{Path, PathBuf};

use walkdir::WalkDir;

/// Folders that hold no specs: hidden ones and build output.
fn is_skipped(name: &str) -> bool {
    name.starts_with('.') || name == "target" || name == "node_modules"
}

/// What the named files and folders hold.
pub(super) struct Found {
    /// The specs, in a fixed order.
    pub(super) specs: Vec<PathBuf>,
    /// A sentence for each name that is not there and each folder that can't be read. The other specs are still inspected.
    pub(super) unread: Vec<String>,
}

/// Finds specs. A file is taken as it is; in a folder, a spec is a YAML file with a `rigproof:` key at the start of a line.
///
/// # Errors
/// One sentence when nothing was found although everything could be read.
pub(super) fn find(named: &[PathBuf]) -> Result<Found, String> {
    let mut found = Found { specs: Vec::new(), unread: Vec::new() };
    for path in named {
        if path.is_dir() {
            walk(path, &mut found);
        } else if path.as_os_str() == "-" || path.exists() {
            found.specs.push(path.clone());
        } else {
            found.unread.push(format!("there is no file or folder `{}`", path.display()));
        }
    }
    if found.specs.is_empty() && found.unread.is_empty() {
        let names: Vec<String> = named.iter().map(|path| format!("`{}`", path.display())).collect();
        return Err(format!("no spec in {}: a spec is a .yaml file that begins with `rigproof: 1`", names.join(", ")));
    }
    let mut seen = std::collections::HashSet::new();
    found.specs.retain(|path| seen.insert(path.clone()));
    Ok(found)
}

/// The one spec that a name stands for.
///
/// # Errors
/// A sentence when there is none, or more than one.
pub(super) fn find_one(named: &Path) -> Result<PathBuf, String> {
    let mut found = find(&[named.to_owned()])?;
    if let Some(says) = found.unread.pop() {
        return Err(says);
    }
    match (found.specs.pop(), found.specs.len()) {
        (Some(spec), 0) => Ok(spec),
        (_, more) => Err(format!("`{}` holds {} specs; name one of them", named.display(), more + 1)),
    }
}

fn walk(folder: &Path, found: &mut Found) {
    let entries = WalkDir::new(folder).sort_by_file_name().into_iter().filter_entry(|entry| {
        entry.depth() == 0 || !(entry.file_type().is_dir() && entry.file_name().to_str().is_some_and(is_skipped))
    });
    for entry in entries {
        match entry {
            Ok(entry) if is_spec(entry.path()) => found.specs.push(entry.into_path()),
            Ok(_) => {}
            Err(error) => {
                let path = error.path().unwrap_or(folder).display().to_string();
                let why = error.io_error().map_or_else(|| "it leads back to itself".to_owned(), reason);
                found.unread.push(format!("`{path}` can't be read: {why}"));
            }
        }
    }
}

/// A file that can't be read counts: opening it says why.
fn is_spec(path: &Path) -> bool {
    let yaml = path.is_file() && path.extension().is_some_and(|ending| ending == "yaml" || ending == "yml");
    yaml && std::fs::read(path).map_or(true, |bytes| has_edition(&bytes))
}

fn has_edition(bytes: &[u8]) -> bool {
    let text = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    text.split(|byte| matches!(byte, b'\n' | b'\r')).any(|line| {
        let line = line.strip_prefix(b"\"").or(line.strip_prefix(b"'")).unwrap_or(line);
        let rest = line.strip_prefix(b"rigproof");
        rest.is_some_and(|rest| matches!(rest.iter().find(|byte| !matches!(byte, b' ' | b'"' | b'\'')), Some(b':')))
    })
}

/// The files of a rulebook's folder: path inside it, with forward slashes, and text.
///
/// # Errors
/// A sentence when the folder or a file in it can't be read.
pub(super) fn read_rules(folder: &Path) -> Result<Vec<(String, String)>, String> {
    let mut files = Vec::new();
    for entry in WalkDir::new(folder).sort_by_file_name() {
        let entry = entry.map_err(|error| format!("`{}` can't be read: {error}", folder.display()))?;
        let wanted = entry.path().extension().is_some_and(|ending| ending == "rhai" || ending == "yaml");
        if entry.file_type().is_file() && wanted {
            let text = std::fs::read_to_string(entry.path())
                .map_err(|error| format!("`{}` can't be read: {}", entry.path().display(), reason(&error)))?;
            files.push((name(entry.path().strip_prefix(folder).unwrap_or(entry.path())), text));
        }
    }
    Ok(files)
}

/// The bytes of a spec; `-` is standard input.
///
/// # Errors
/// A sentence when it can't be read.
pub(super) fn open(path: &Path) -> Result<Vec<u8>, String> {
    if path.as_os_str() == "-" {
        let mut bytes = Vec::new();
        return std::io::Read::read_to_end(&mut std::io::stdin(), &mut bytes)
            .map(|_| bytes)
            .map_err(|error| format!("standard input can't be read: {error}"));
    }
    std::fs::read(path).map_err(|error| format!("`{}` can't be read: {}", path.display(), reason(&error)))
}

/// Opens a parts book for the reader of specs.
pub(super) fn open_book(path: &str) -> Result<Vec<u8>, String> {
    std::fs::read(path).map_err(|error| reason(&error))
}

fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "permission is denied".to_owned(),
        _ => error.to_string(),
    }
}

/// The name of a spec in reports: as given, with forward slashes.
pub(super) fn name(path: &Path) -> String {
    if path.as_os_str() == "-" {
        return "standard input".to_owned();
    }
    path.to_string_lossy().replace('\\', "/")
}

#[cfg(test)]
mod tests {
    use super::has_edition;

    #[test]
    fn a_spec_is_known_by_its_edition() {
        for text in [
            "rigproof: 1",
            "# a rig\nrigproof: 1\n",
            "\u{feff}rigproof: 1",
            "a: 1\r\n\"rigproof\" : 1",
            "---\n'rigproof': 1",
        ] {
            assert!(has_edition(text.as_bytes()), "{text:?}");
        }
        for text in ["rigproof-book: 1", "  rigproof: 1", "# rigproof: 1", "", "rules:\n- rigproof"] {
            assert!(!has_edition(text.as_bytes()), "{text:?}");
        }
    }
}
