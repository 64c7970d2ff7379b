//! The address of a fact in a spec: `parts.water.capacity`, `plumbing[2].hose`.
//!
//! A place is what the engineering, the rules and the punch list speak of. It knows nothing of files or bytes; only
//! [`crate::punchlist`] turns a place into a line, once, at the end.

use std::fmt;

/// The address of a fact, as a person would say it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Place(String);

/// One step of a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step<'a> {
    /// The value under a key.
    Key(&'a str),
    /// The entry at a position in a list, counted from nought.
    Entry(usize),
}

impl Place {
    /// The spec as a whole.
    pub fn root() -> Self {
        Self::default()
    }

    /// The place of `key` inside this one.
    #[must_use]
    pub fn key(&self, key: &str) -> Self {
        if self.0.is_empty() { Self(key.to_owned()) } else { Self(format!("{}.{key}", self.0)) }
    }

    /// The place of entry `index` inside this list.
    #[must_use]
    pub fn entry(&self, index: usize) -> Self {
        Self(format!("{}[{index}]", self.0))
    }

    /// The place as text; empty for the whole spec.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The steps from the whole spec down to this place.
    pub fn steps(&self) -> impl Iterator<Item = Step<'_>> {
        self.0.split(['.', '[']).filter(|piece| !piece.is_empty()).map(|piece| {
            match piece.strip_suffix(']').and_then(|digits| digits.parse().ok()) {
                Some(index) => Step::Entry(index),
                None => Step::Key(piece),
            }
        })
    }

    /// The place that holds this one; `None` for the whole spec.
    pub fn parent(&self) -> Option<Self> {
        if self.0.is_empty() {
            return None;
        }
        let cut = self.0.rfind(['.', '[']).unwrap_or(0);
        Some(Self(self.0.get(..cut).unwrap_or_default().to_owned()))
    }
}

impl From<&str> for Place {
    fn from(text: &str) -> Self {
        Self(text.to_owned())
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.is_empty() { f.write_str("the spec") } else { f.write_str(&self.0) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_built_and_taken_apart_step_by_step() {
        let place = Place::root().key("plumbing").entry(2).key("hose");
        assert_eq!(place.as_str(), "plumbing[2].hose");
        let steps: Vec<_> = place.steps().collect();
        assert_eq!(steps, [Step::Key("plumbing"), Step::Entry(2), Step::Key("hose")]);
        assert_eq!(place.parent().map(|p| p.to_string()).as_deref(), Some("plumbing[2]"));
        assert_eq!(Place::from("plumbing[2]").parent(), Some(Place::from("plumbing")));
        assert_eq!(Place::from("name").parent(), Some(Place::root()));
        assert_eq!(Place::root().parent(), None);
    }
}
