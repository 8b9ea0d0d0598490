//! What is read, worked out, and asked of a sheet.

use super::limit::{asks_less, side, unknown};
use super::{Changes, quoted};
use crate::procedure::{BoundSpec, Procedure, Reading, SheetNeed, Side, WorkInput, Working};

/// Compares it.
pub(super) fn compare(old: &Procedure, new: &Procedure, changes: &mut Changes) {
    for (id, was) in &old.readings {
        if let Some(is) = new.readings.get(id) {
            reading((old, was), (new, is), id.as_str(), changes);
        } else {
            changes.told(
                format!("gone_reading:{id}"),
                format!("The reading {} is gone.", quoted(&was.title)),
            );
        }
    }
    workings(old, new, changes);
    let known = |id| old.readings.contains_key(id) || old.workings.contains_key(id);
    for id in new
        .readings
        .keys()
        .chain(new.workings.keys())
        .filter(|id| !known(id))
    {
        let title = new.value(id).map_or("", |(title, _)| title);
        changes.told(
            format!("new_value:{id}"),
            format!("{} is new among what is read or worked out.", quoted(title)),
        );
    }
    sheet(old, new, changes);
    settings(old, new, changes);
    roles(old, new, changes);
}

fn workings(old: &Procedure, new: &Procedure, changes: &mut Changes) {
    for (id, was) in &old.workings {
        match new.workings.get(id) {
            Some(is) => {
                changes.words(
                    &format!("working_title:{id}"),
                    "A working",
                    &was.title,
                    &is.title,
                );
                if made_of(was) != made_of(is) {
                    changes.either(
                        old.rests_on(id) && new.rests_on(id),
                        format!("working:{id}"),
                        format!(
                            "{} was worked out by {} and is worked out by {} now.",
                            quoted(&is.title),
                            made_of(was),
                            made_of(is)
                        ),
                    );
                }
            }
            None => changes.told(
                format!("gone_working:{id}"),
                format!("The working {} is gone.", quoted(&was.title)),
            ),
        }
    }
}

fn settings(old: &Procedure, new: &Procedure, changes: &mut Changes) {
    for (id, was) in &old.settings {
        match new.settings.get(id) {
            Some(is) => changes.words(
                &format!("setting_title:{id}"),
                "A setting",
                &was.title,
                &is.title,
            ),
            None => changes.told(
                format!("gone_setting:{id}"),
                format!("The setting {} is gone.", quoted(&was.title)),
            ),
        }
    }
    for (id, is) in new
        .settings
        .iter()
        .filter(|(id, _)| !old.settings.contains_key(*id))
    {
        changes.told(
            format!("new_setting:{id}"),
            format!("The setting {} is new.", quoted(&is.title)),
        );
    }
}

fn roles(old: &Procedure, new: &Procedure, changes: &mut Changes) {
    for (id, is) in &new.roles {
        match old.roles.get(id) {
            Some(was) => changes.words(
                &format!("role:{id}"),
                "What is measured with",
                &format!("{}, {}", was.title, was.kind),
                &format!("{}, {}", is.title, is.kind),
            ),
            None => changes.told(
                format!("new_role:{id}"),
                format!("An instrument is used as {} now.", quoted(&is.title)),
            ),
        }
    }
    for (id, was) in old
        .roles
        .iter()
        .filter(|(id, _)| !new.roles.contains_key(*id))
    {
        changes.told(
            format!("gone_role:{id}"),
            format!("No instrument is used as {} any more.", quoted(&was.title)),
        );
    }
}

fn reading(
    (old, was): (&Procedure, &Reading),
    (new, is): (&Procedure, &Reading),
    id: &str,
    changes: &mut Changes,
) {
    let title = quoted(&is.title);
    changes.words(
        &format!("reading_title:{id}"),
        "A reading",
        &was.title,
        &is.title,
    );
    if was.kind != is.kind {
        changes.less(
            format!("reading_kind:{id}"),
            format!("{title} is read as {} now; it was {}.", is.kind, was.kind),
        );
    }
    let flags = [
        (
            "witness",
            "read by a second person",
            was.witness,
            is.witness,
        ),
        (
            "zero_check",
            "the zero that an instrument showed",
            was.zero_check,
            is.zero_check,
        ),
    ];
    for (name, what, was, is) in flags.into_iter().filter(|(_, _, was, is)| was != is) {
        let sentence = if is {
            format!("{title} is {what} now.")
        } else {
            format!("{title} is no longer {what}.")
        };
        changes.either(was, format!("{name}:{id}"), sentence);
    }
    if was.role != is.role {
        let role = |p: &Procedure, r: &Reading| {
            r.role.as_ref().map_or_else(
                || "without a known instrument".to_owned(),
                |id| {
                    format!(
                        "with {}",
                        quoted(p.roles.get(id).map_or(id.as_str(), |role| &role.title))
                    )
                },
            )
        };
        changes.either(
            was.role.is_some(),
            format!("instrument:{id}"),
            format!(
                "{title} is read {} now; it was read {}.",
                role(new, is),
                role(old, was)
            ),
        );
    }
    if (&was.of, was.when) != (&is.of, is.when) {
        changes.either(was.of.is_some(), format!("setting:{id}"), format!("{title} is of another setting, or on another side of its change: as found, as left."));
    }
    read_how(was, is, id, &title, changes);
}

/// What is plausible, where and how it is read.
fn read_how(was: &Reading, is: &Reading, id: &str, title: &str, changes: &mut Changes) {
    plausible(
        was.plausible.as_ref(),
        is.plausible.as_ref(),
        id,
        title,
        changes,
    );
    let place = |r: &Reading| r.place.iter().cloned().collect::<Vec<_>>();
    changes.lines(
        &format!("reading_place:{id}"),
        &format!("{title}, where it is read"),
        &place(was),
        &place(is),
    );
    changes.lines(
        &format!("reading_how:{id}"),
        &format!("{title}, how to read it"),
        &was.how,
        &is.how,
    );
    if was.shown != is.shown || was.for_record != is.for_record {
        changes.told(
            format!("reading_kept:{id}"),
            format!("{title} is shown in other units, or kept for another reason."),
        );
    }
}

fn plausible(
    was: Option<&(Side, Side)>,
    is: Option<&(Side, Side)>,
    id: &str,
    title: &str,
    changes: &mut Changes,
) {
    if was == is {
        return;
    }
    let band = |b: &(Side, Side)| BoundSpec::Between(b.0.clone(), b.1.clone());
    let less = was.is_some_and(|was| {
        is.is_none_or(|is| asks_less((&band(was), &unknown), (&band(is), &unknown)))
    });
    let told = |b: Option<&(Side, Side)>| {
        b.map_or_else(
            || "at no value".to_owned(),
            |(a, b)| format!("outside {} to {}", side(a), side(b)),
        )
    };
    changes.either(
        less,
        format!("plausible:{id}"),
        format!(
            "{title} is asked for twice {} now; it was {}.",
            told(is),
            told(was)
        ),
    );
}

/// How a value is worked out.
fn made_of(working: &Working) -> String {
    let inputs: Vec<String> = working
        .inputs
        .iter()
        .zip(&working.slots)
        .map(|(input, slot)| {
            let input = match input {
                WorkInput::Value(id) => id.to_string(),
                WorkInput::Series(id) => format!("every point of {id}"),
                WorkInput::Sheet(key) => format!("the sheet's {key}"),
                WorkInput::Literal(quantity) => super::limit::quantity_said(*quantity),
                WorkInput::Word(word) => word.clone(),
            };
            format!("{}. {input}", slot + 1)
        })
        .collect();
    format!(
        "the sum {} ({}) of {}",
        working.sum,
        working.gives,
        inputs.join(", ")
    )
}

/// What is asked of a sheet.
fn sheet(old: &Procedure, new: &Procedure, changes: &mut Changes) {
    let told = |need: &SheetNeed| match need {
        SheetNeed::Quantity(kind) => kind.to_string(),
        SheetNeed::Word(words) => format!("one of {}", words.join(", ")),
        SheetNeed::Text => "words for people".to_owned(),
    };
    for (key, was) in &old.sheet {
        match new.sheet.get(key) {
            Some(is) => changes.words(
                &format!("sheet_need:{key}"),
                &format!("What a sheet must give as {key}"),
                &told(was),
                &told(is),
            ),
            None => changes.told(
                format!("gone_sheet_need:{key}"),
                format!("A sheet need not give {key} any more."),
            ),
        }
    }
    for (key, is) in new
        .sheet
        .iter()
        .filter(|(key, _)| !old.sheet.contains_key(*key))
    {
        changes.told(
            format!("new_sheet_need:{key}"),
            format!("A sheet must give {key} now: {}.", told(is)),
        );
    }
}
