//! Which faults a drill has: those named, or drawn by the seed.
//!
//! Must not know: what they do.

use std::sync::Arc;

use crate::rig::{Chosen, Fault, Plan};

/// The faults of a drill, out of all there are; the same seed draws the same.
///
/// # Errors
/// The name of a fault that is not there.
pub fn choose_faults(
    plan: &Plan,
    known: &[Arc<Fault>],
    seed: u64,
) -> Result<Vec<Arc<Fault>>, String> {
    let find = |name: &String| {
        let found = known.iter().find(|f| &f.id == name).cloned();
        found.ok_or_else(|| name.clone())
    };
    match &plan.faults {
        Chosen::Named(names) => names.iter().map(find).collect(),
        Chosen::Drawn { count, plain } => {
            let mut pool: Vec<Arc<Fault>> = known
                .iter()
                .filter(|f| plain.is_none_or(|p| f.plain == p))
                .cloned()
                .collect();
            pool.sort_by(|a, b| a.id.cmp(&b.id));
            let mut drawn = Vec::new();
            let mut state = seed ^ 0x9e37_79b9_7f4a_7c15;
            while drawn.len() < *count && !pool.is_empty() {
                state = mixed(state);
                let at = (state % pool.len() as u64) as usize;
                drawn.push(pool.remove(at));
            }
            Ok(drawn)
        }
    }
}

/// A well-spread successor.
///
/// # Source
/// The finalizer of `SplitMix64` (Steele, Lea, Flood 2014), from memory.
const fn mixed(state: u64) -> u64 {
    let state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let state = (state ^ (state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let state = (state ^ (state >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    state ^ (state >> 31)
}

/// Every fault by name and title, for the list that a person names one from.
pub fn fault_titles(known: &[Arc<Fault>]) -> Vec<(String, String)> {
    let mut titles: Vec<(String, String)> = known
        .iter()
        .map(|f| (f.id.clone(), f.title.clone()))
        .collect();
    titles.push((
        super::WRONG_SHEET.to_owned(),
        super::WRONG_SHEET_TITLE.to_owned(),
    ));
    titles.sort_by(|a, b| a.1.cmp(&b.1));
    titles
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rig::{Coaching, Plain, Remedy};

    fn fault(id: &str, plain: Plain) -> Arc<Fault> {
        Arc::new(Fault {
            id: id.to_owned(),
            title: id.to_owned(),
            plain,
            sets: Vec::new(),
            symptom: Vec::new(),
            found_at: Vec::new(),
            remedy: Remedy::Stop,
            mending: None,
            mended_at: None,
            lesson: Vec::new(),
        })
    }

    fn plan(faults: Chosen) -> Plan {
        Plan {
            id: "d".to_owned(),
            title: "d".to_owned(),
            aim: Vec::new(),
            number: 1,
            after: None,
            procedure: "p".to_owned(),
            sheet: "s".to_owned(),
            instruments: "i".to_owned(),
            truck: "t".to_owned(),
            faults,
            coaching: Coaching::Alone,
            coach: None,
            scatter: false,
            begin: None,
        }
    }

    #[test]
    fn the_same_seed_draws_the_same_and_others_draw_all_there_are() {
        let known: Vec<_> = ["a", "b", "c", "d"]
            .map(|id| fault(id, Plain::Clear))
            .into();
        let two = plan(Chosen::Drawn {
            count: 2,
            plain: None,
        });
        let ids = |seed| -> Vec<String> {
            let drawn = choose_faults(&two, &known, seed).unwrap();
            drawn.iter().map(|f| f.id.clone()).collect()
        };
        assert_eq!(ids(7), ids(7));
        let all: std::collections::BTreeSet<String> = (0..64).flat_map(ids).collect();
        assert_eq!(all.len(), 4);
        assert!((0..64).all(|seed| ids(seed)[0] != ids(seed)[1]));
    }

    #[test]
    fn only_faults_of_the_wanted_plainness_are_drawn() {
        let known = vec![fault("a", Plain::Clear), fault("b", Plain::Subtle)];
        let one = plan(Chosen::Drawn {
            count: 2,
            plain: Some(Plain::Subtle),
        });
        let drawn = choose_faults(&one, &known, 3).unwrap();
        assert_eq!(drawn.len(), 1);
        assert_eq!(drawn[0].id, "b");
    }

    #[test]
    fn a_fault_that_is_not_there_is_named() {
        let named = plan(Chosen::Named(vec!["x".to_owned()]));
        assert_eq!(choose_faults(&named, &[], 0), Err("x".to_owned()));
    }
}
