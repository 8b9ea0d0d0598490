//! `levelhand calc` as it is typed.

use serde_json::Value;

use super::super::{Args, Verb};
use super::run;
use crate::calc::REGISTRY;
use clap::Parser;

/// Exit code, standard output, standard error.
fn typed(words: &[&str]) -> (u8, String, String) {
    let line = ["levelhand", "calc"].iter().chain(words);
    let args = match Args::try_parse_from(line) {
        Ok(args) => args,
        Err(error) => return (2, String::new(), error.to_string()),
    };
    let Some(Verb::Calc(calc)) = &args.verb else {
        return (2, String::new(), "another verb".to_owned());
    };
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let code = run(calc, &mut out, &mut err);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (code, text(out), text(err))
}

#[test]
fn every_sum_has_a_help_that_names_its_inputs_and_its_source() {
    for sum in REGISTRY {
        let (_, _, help) = typed(&[sum.name, "--help"]);
        for input in sum.inputs {
            let option = format!("--{} <", input.key.replace('_', "-"));
            assert!(help.contains(&option), "{}: {option}", sum.name);
        }
        for output in sum.outputs {
            assert!(help.contains(output.key), "{} {}", sum.name, output.key);
        }
        assert!(help.contains("Source: "), "{help}");
    }
}

#[test]
fn every_example_works_as_the_help_prints_it() {
    for sum in REGISTRY {
        let mut words = vec![sum.name.to_owned()];
        for (key, text) in sum.example {
            words.push(format!("--{}", key.replace('_', "-")));
            words.push((*text).to_owned());
        }
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let (code, out, err) = typed(&words);
        assert_eq!(code, 0, "{}: {err}", sum.name);
        assert!(out.contains(sum.title));
        assert_eq!(typed(&[sum.name, "--example"]).1, out);
    }
}

#[test]
fn data_says_the_same_as_the_table() {
    for sum in REGISTRY {
        let (code, out, err) = typed(&[sum.name, "--example", "--json"]);
        assert_eq!(code, 0, "{}: {err}", sum.name);
        let data: Value = serde_json::from_str(&out).unwrap();
        assert_eq!(data["sum"], sum.name);
        for output in sum.outputs {
            assert!(
                data["results"].get(output.key).is_some(),
                "{} {}",
                sum.name,
                output.key
            );
        }
    }
    let (_, out, _) = typed(&["difference", "--example", "--json"]);
    let data: Value = serde_json::from_str(&out).unwrap();
    let si = data["results"]["difference"]["amount"]["si"]
        .as_f64()
        .unwrap();
    assert!((si - 5000.0).abs() < 1e-6, "{si}");
}

#[test]
fn one_instrument_takes_its_error_out_of_a_difference() {
    let pair = [
        "difference",
        "--first",
        "1.30 bar ± 0.1 bar step 0.02 bar",
        "--second",
        "1.25 bar ± 0.1 bar step 0.02 bar",
    ];
    let (_, two, _) = typed(&pair);
    assert!(two.contains("U 0.16 bar"), "{two}");
    let mut words = pair.to_vec();
    words.extend(["--same-instrument", "first,second"]);
    let (_, one, _) = typed(&words);
    // 2 · √2 · 0.02 / (2√3), the resolutions alone.
    assert!(one.contains("U 0.016 bar"), "{one}");
    words.truncate(5);
    words.extend(["--same-instrument", "first,secnd"]);
    let (code, _, err) = typed(&words);
    assert_eq!(code, 2);
    assert!(
        err.contains("\"secnd\" is no input of difference; its inputs are first, second"),
        "{err}"
    );
}

#[test]
fn what_can_not_be_used_is_told_with_what_can() {
    for (words, said) in [
        (
            &["difference", "--first", "1.3"][..],
            "--first: `1.3`: The unit is missing.",
        ),
        (
            &["difference", "--first", "1.3 bar", "--second", "5 mm"][..],
            "--second: `5 mm`",
        ),
        (
            &["difference", "--first", "1.3 bar"][..],
            "the sum difference needs second",
        ),
        (
            &["series_drop", "--watch", "1.3 bar"][..],
            "has no time before it",
        ),
        (&["differense"][..], "unrecognized subcommand"),
    ] {
        let (code, out, err) = typed(words);
        assert_eq!((code, out.as_str()), (2, ""), "{words:?}");
        assert!(err.contains(said), "{words:?}: {err}");
    }
}

#[test]
fn draws_are_the_same_for_the_same_seed() {
    let words = [
        "difference",
        "--first",
        "1.30 bar ± 0.1 bar",
        "--second",
        "1.25 bar ± 0.1 bar",
    ];
    let mut seeded = words.to_vec();
    seeded.extend(["--monte-carlo", "20000", "--seed", "7"]);
    let first = typed(&seeded);
    assert_eq!(first, typed(&seeded));
    assert!(
        first.1.contains("Monte Carlo, 20000 draws from seed 7"),
        "{}",
        first.1
    );
    let mut few = words.to_vec();
    few.extend(["--monte-carlo", "3"]);
    assert_eq!(typed(&few).0, 2);
}

#[test]
fn the_reference_lists_every_sum_under_its_subject() {
    let (code, text, _) = typed(&["--list"]);
    assert_eq!(code, 0);
    let (_, data, _) = typed(&["--list", "--json"]);
    let data: Value = serde_json::from_str(&data).unwrap();
    let listed = data["sums"].as_array().unwrap();
    assert_eq!(listed.len(), REGISTRY.len());
    let mut subjects: Vec<&str> = Vec::new();
    for sum in REGISTRY {
        assert!(
            text.contains(&format!("\n{}: {}\n", sum.name, sum.title)),
            "{}",
            sum.name
        );
        if subjects.last() != Some(&sum.subject) {
            assert!(
                !subjects.contains(&sum.subject),
                "{} stands in two places",
                sum.subject
            );
            subjects.push(sum.subject);
        }
    }
}
