//! Near names: what someone may have meant.

/// The candidate most like `name`, if one is near enough to be a slip.
///
/// Nearness is the number of letters added, dropped, changed or swapped with
/// their neighbour; a third of the longer name, and at least one, is allowed.
pub fn near<'a>(name: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // A text this long is no slip of a name, and the sum below grows with its square.
    if name.len() > 200 {
        return None;
    }
    let name_folded = fold(name);
    candidates
        .into_iter()
        .filter(|c| *c != name && c.len() <= 200)
        .map(|c| (slips(&name_folded, &fold(c)), c))
        .filter(|(slips, c)| *slips <= (name.chars().count().max(c.chars().count()) / 3).max(1))
        .min()
        .map(|(_, c)| c)
}

/// Help for a name that isn't among the candidates: the near one, or the list.
pub fn near_help<'a>(name: &str, candidates: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let candidates: Vec<&str> = candidates.into_iter().collect();
    if let Some(near) = near(name, candidates.iter().copied()) {
        return vec![format!("did you mean {near:?}?")];
    }
    if candidates.is_empty() {
        return vec!["there are none yet".to_owned()];
    }
    vec![format!("accepted here: {}", listed(candidates))]
}

/// The names as a list for people, cut after the first 24.
pub fn listed<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    let mut names: Vec<&str> = names.into_iter().collect();
    let more = names.len().saturating_sub(24);
    names.truncate(24);
    let list = names.join(", ");
    if more == 0 {
        list
    } else {
        format!("{list} and {more} more")
    }
}

/// Small letters, with dashes and spaces as underscores.
fn fold(text: &str) -> Vec<char> {
    text.chars()
        .flat_map(char::to_lowercase)
        .map(|c| if matches!(c, '-' | ' ') { '_' } else { c })
        .collect()
}

/// Letters added, dropped, changed or swapped with their neighbour (optimal
/// string alignment).
fn slips(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, y) in b.iter().enumerate() {
            let at = |row: &[usize], k: usize| row.get(k).copied().unwrap_or(usize::MAX - 1);
            let changed = at(&last, j) + usize::from(x != y);
            let mut best = changed.min(at(&last, j + 1) + 1).min(at(&row, j) + 1);
            let swapped = i > 0 && j > 0 && a.get(i - 1) == Some(y) && b.get(j - 1) == Some(x);
            if swapped {
                best = best.min(at(&before, j - 1) + 1);
            }
            row.push(best);
        }
        before = last;
        last = row;
    }
    last.last().copied().unwrap_or(0)
}
