//! "Did you mean": the candidate nearest to a word.

/// How many candidates are looked at; keeps hostile input cheap.
const CANDIDATES: usize = 1_000;

/// The candidate nearest to `word`, or `None` when none is near enough.
///
/// Nearness is the optimal string alignment distance (insert, delete, replace, swap neighbours; R. W. Hamming's and
/// F. J. Damerau's edit errors, each pair of letters swapped at most once), without regard to case. Near enough is two
/// edits, or a third of the word's length if that is more; never as many edits as the word has letters. Of equally near
/// candidates the first is given; only the first 1 000 are looked at. A word that is itself a candidate is its own nearest.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = if word.len() > 256 { return None } else { letters(word) };
    // Past this length nobody mistyped a word; the bound also keeps hostile input cheap.
    if word.is_empty() || word.len() > 64 {
        return None;
    }
    let limit = (word.len() / 3).max(2).min(word.len() - 1);
    let mut best: Option<(usize, &'a str)> = None;
    for candidate in candidates.into_iter().take(CANDIDATES) {
        let bound = best.map_or(limit, |(edits, _)| edits.saturating_sub(1));
        if candidate.len() > 4 * (word.len() + bound) {
            continue;
        }
        let other = letters(candidate);
        if other.len().abs_diff(word.len()) > bound {
            continue;
        }
        let edits = distance(&word, &other);
        if edits <= bound && edits < other.len().max(1) {
            best = Some((edits, candidate));
            if edits == 0 {
                break;
            }
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// ``did you mean `x`?`` for the nearest candidate; otherwise what there is, when that is at most eight.
pub fn did_you_mean<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str> + Clone) -> Option<String> {
    if let Some(candidate) = nearest(word, candidates.clone()) {
        return Some(format!("did you mean `{candidate}`?"));
    }
    let all: Vec<_> = candidates.into_iter().take(9).map(|candidate| format!("`{candidate}`")).collect();
    match all.len() {
        1..=8 => Some(format!("there is {}", all.join(", "))),
        _ => None,
    }
}

fn letters(word: &str) -> Vec<char> {
    word.chars().flat_map(char::to_lowercase).collect()
}

/// Optimal string alignment distance, three rows at a time.
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before = vec![0; b.len() + 1];
    let mut above: Vec<usize> = (0..=b.len()).collect();
    let mut row = vec![0; b.len() + 1];
    let get = |row: &[usize], at: usize| row.get(at).copied().unwrap_or(usize::MAX / 2);
    let mut last_left = None;
    for (i, left) in a.iter().enumerate() {
        let mut last_right = None;
        for (j, right) in b.iter().enumerate() {
            let step = if j == 0 { i + 1 } else { get(&row, j) };
            let mut edits = (get(&above, j) + usize::from(left != right)).min(get(&above, j + 1) + 1).min(step + 1);
            if last_left == Some(right) && last_right == Some(left) {
                edits = edits.min(get(&before, j - 1) + 1);
            }
            if let Some(cell) = row.get_mut(j + 1) {
                *cell = edits;
            }
            last_right = Some(right);
        }
        if let Some(cell) = row.first_mut() {
            *cell = i + 1;
        }
        last_left = Some(left);
        std::mem::swap(&mut before, &mut above);
        std::mem::swap(&mut above, &mut row);
    }
    get(&above, b.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edits(a: &str, b: &str) -> usize {
        distance(&letters(a), &letters(b))
    }

    #[test]
    fn distances_agree_with_published_examples() {
        // "kitten"/"sitting" 3 and "saturday"/"sunday" 3: the usual worked examples of the Levenshtein distance
        // (Wagner and Fischer, J. ACM 21 (1974) 168). "CA"/"ABC" is 3 by optimal string alignment and 2 by the
        // unrestricted Damerau distance: L. Boytsov, ACM J. Exp. Algorithmics 16 (2011) 1.1, from memory.
        assert_eq!(edits("kitten", "sitting"), 3);
        assert_eq!(edits("saturday", "sunday"), 3);
        assert_eq!(edits("ca", "abc"), 3);
        assert_eq!(edits("ab", "ba"), 1);
        assert_eq!(edits("", "abc"), 3);
        assert_eq!(edits("abc", ""), 3);
        assert_eq!(edits("abc", "ABC"), 0);
    }

    #[test]
    fn the_nearest_candidate_is_found_and_a_stranger_is_not() {
        let keys = ["capacity", "material", "kind", "at", "tied-with"];
        assert_eq!(nearest("capcity", keys), Some("capacity"));
        assert_eq!(nearest("knid", keys), Some("kind"));
        assert_eq!(nearest("Tied-With", keys), Some("tied-with"));
        assert_eq!(nearest("tied_with", keys), Some("tied-with"));
        assert_eq!(nearest("colour", keys), None);
        assert_eq!(nearest("x", keys), None);
        assert_eq!(nearest("", keys), None);
        assert_eq!(nearest(&"a".repeat(100_000), keys), None);
        assert_eq!(nearest("zz", ["at", "in"]), None);
    }

    #[test]
    fn without_a_near_one_a_short_list_is_shown() {
        assert_eq!(did_you_mean("shp", ["shop", "yard"]).as_deref(), Some("did you mean `shop`?"));
        assert_eq!(did_you_mean("zzzz", ["shop", "yard"]).as_deref(), Some("there is `shop`, `yard`"));
        assert_eq!(did_you_mean("zzzz", ["a"; 9]), None);
        assert_eq!(did_you_mean("zzzz", []), None);
    }
}
