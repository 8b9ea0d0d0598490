//! When files are looked at again.

use std::time::{Duration, SystemTime};

use super::watch::Watch;
use crate::io::saved::Saved;

fn saved(second: u64, size: u64) -> Option<Saved> {
    let at = SystemTime::UNIX_EPOCH + Duration::from_secs(second);
    Some(Saved::new(Some(at), size))
}

/// How many looks it takes until the files are told again, if it happens in 100.
fn looks(watch: &mut Watch, now: &[Option<Saved>]) -> Option<usize> {
    (1..=100).find(|_| watch.is_due(now.to_vec()))
}

#[test]
fn files_are_told_at_once_and_not_again_while_they_rest() {
    let mut watch = Watch::default();
    assert_eq!(looks(&mut watch, &[saved(1, 10)]), Some(1));
    assert_eq!(looks(&mut watch, &[saved(1, 10)]), None);
}

#[test]
fn a_saved_file_is_told_when_it_has_come_to_rest() {
    let mut watch = Watch::default();
    assert!(watch.is_due(vec![saved(1, 10)]));
    assert!(!watch.is_due(vec![saved(2, 3)]), "it is being written");
    assert!(!watch.is_due(vec![saved(2, 9)]), "it still is");
    assert!(watch.is_due(vec![saved(2, 9)]));
}

#[test]
fn a_file_of_the_same_size_saved_later_is_another_one() {
    let mut watch = Watch::default();
    assert!(watch.is_due(vec![saved(1, 10)]));
    assert_eq!(looks(&mut watch, &[saved(2, 10)]), Some(2));
}

#[test]
fn a_file_that_is_gone_for_a_moment_and_comes_back_the_same_is_not_told() {
    let mut watch = Watch::default();
    assert!(watch.is_due(vec![saved(1, 10)]));
    for _ in 0..5 {
        assert!(!watch.is_due(vec![None]));
    }
    assert_eq!(looks(&mut watch, &[saved(1, 10)]), None);
}

#[test]
fn a_file_that_stays_away_is_told_as_gone_once_and_told_when_it_is_back() {
    let mut watch = Watch::default();
    assert!(watch.is_due(vec![saved(1, 10)]));
    assert!(looks(&mut watch, &[None]).is_some_and(|n| n > 5));
    assert_eq!(looks(&mut watch, &[None]), None);
    assert_eq!(looks(&mut watch, &[saved(1, 10)]), Some(2));
}

#[test]
fn one_of_several_files_is_enough() {
    let mut watch = Watch::default();
    assert!(watch.is_due(vec![saved(1, 10), saved(1, 20)]));
    assert_eq!(looks(&mut watch, &[saved(1, 10), saved(3, 20)]), Some(2));
}

#[test]
fn a_file_that_goes_away_is_told_at_the_next_look_and_once() {
    let mut watch = Watch::default();
    let (there, gone) = ([saved(1, 10), saved(1, 20)], [saved(1, 10), None]);
    assert_eq!(watch.went(&gone), Vec::<usize>::new(), "it never was there");
    assert_eq!(watch.went(&there), Vec::<usize>::new());
    assert_eq!(watch.went(&gone), [1]);
    assert_eq!(watch.went(&gone), Vec::<usize>::new());
    assert_eq!(watch.went(&there), Vec::<usize>::new());
    assert_eq!(watch.went(&gone), [1]);
}
