//! Finds and opens specs.

use std::path::{Path, PathBuf};

use walkdir::WalkDir;

/// Folders that hold no specs: hidden ones and build output.
fn is_skipped(name: &str) -> bool {
    name.starts_with('.') || name == "target" || name == "node_modules"
}

/// The specs that the named files and folders hold, in a fixed order. A file is taken as it is; in a folder, a spec is a
/// YAML file with a `rigproof:` key at its start of a line.
///
/// # Errors
/// One sentence for each name that is not there, and one when nothing was found.
pub(super) fn find(named: &[PathBuf]) -> Result<Vec<PathBuf>, String> {
    let mut found = Vec::new();
    let mut missing = Vec::new();
    for path in named {
        if path.as_os_str() == "-" || path.is_file() {
            found.push(path.clone());
        } else if path.is_dir() {
            found.extend(walk(path));
        } else {
            missing.push(format!("there is no file or folder `{}`", path.display()));
        }
    }
    if !missing.is_empty() {
        return Err(missing.join("\nrigproof: "));
    }
    if found.is_empty() {
        let names: Vec<String> = named.iter().map(|path| format!("`{}`", path.display())).collect();
        return Err(format!("no spec in {}: a spec is a .yaml file that begins with `rigproof: 1`", names.join(", ")));
    }
    let mut seen = std::collections::HashSet::new();
    found.retain(|path| seen.insert(path.clone()));
    Ok(found)
}

fn walk(folder: &Path) -> Vec<PathBuf> {
    let entries = WalkDir::new(folder)
        .sort_by_file_name()
        .into_iter()
        .filter_entry(|entry| entry.depth() == 0 || !(entry.file_type().is_dir() && entry.file_name().to_str().is_some_and(is_skipped)));
    entries.filter_map(Result::ok).map(walkdir::DirEntry::into_path).filter(|path| is_spec(path)).collect()
}

fn is_spec(path: &Path) -> bool {
    let yaml = path.extension().is_some_and(|ending| ending == "yaml" || ending == "yml");
    yaml && std::fs::read(path).is_ok_and(|bytes| bytes.split(|byte| *byte == b'\n').any(|line| line.trim_ascii_start().starts_with(b"rigproof:") && !line.starts_with(b" ")))
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
            let text = std::fs::read_to_string(entry.path()).map_err(|error| format!("`{}` can't be read: {}", entry.path().display(), reason(&error)))?;
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
        return std::io::Read::read_to_end(&mut std::io::stdin(), &mut bytes).map(|_| bytes).map_err(|error| format!("standard input can't be read: {error}"));
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
    path.to_string_lossy().replace('\\', "/")
}
