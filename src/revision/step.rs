//! One step in two revisions.

use std::collections::BTreeSet;

use super::limit::{Spot, compare as compare_limits};
use super::order::condition;
use super::pair::Pairs;
use super::{Changes, confirm, quoted, way};
use crate::procedure::{Body, Choice, EndKind, Procedure, Step, Tick};

/// What is compared: the step in both revisions.
struct Both<'a> {
    old: &'a Procedure,
    new: &'a Procedure,
    was: &'a Step,
    is: &'a Step,
    /// The title as people read it.
    title: String,
}

/// Compares one step.
pub(super) fn compare(
    old: &Procedure,
    new: &Procedure,
    was: &Step,
    is: &Step,
    pairs: &Pairs<'_>,
    changes: &mut Changes,
) {
    let both = Both {
        old,
        new,
        was,
        is,
        title: quoted(&is.title),
    };
    needs(&both, changes);
    acts(&both, changes);
    names(&both, changes);
    ticks(&both, changes);
    values(&both, changes);
    let spot = Spot {
        kind: "limit",
        owner: is.id.as_str(),
        title: both.title.clone(),
    };
    compare_limits(&spot, (old, &was.limits), (new, &is.limits), changes);
    body(&both, pairs, changes);
    texts(&both, changes);
}

impl Both<'_> {
    fn name(&self, what: &str) -> String {
        format!("{what}:{}", self.is.id)
    }

    fn about(&self, what: &str, id: impl std::fmt::Display) -> String {
        format!("{what}:{}:{id}", self.is.id)
    }
}

fn needs(both: &Both<'_>, changes: &mut Changes) {
    let Both {
        old,
        new,
        was,
        is,
        title,
        ..
    } = both;
    let (before, after) = (old.entry_needs(was), new.entry_needs(is));
    // What the safe list asks of every end is told once, there; of other steps it
    // asks nothing, and what they drop is theirs.
    let ends = matches!((&was.body, &is.body), (Body::End(_), Body::End(_)));
    let listed = |p: &Procedure, id| ends && p.safe.contains(id);
    let standing = new.standing_needs(is);
    for id in before.difference(&after).filter(|id| !listed(old, id)) {
        let what = condition(old, id);
        if standing.contains(id) {
            changes.told(
                both.about("need", id),
                format!(
                    "{title} no longer names {what} itself; its acts or cautions still need it."
                ),
            );
        } else {
            changes.less(
                both.about("need", id),
                format!("{title} no longer needs {what}."),
            );
        }
    }
    for id in after.difference(&before).filter(|id| !listed(new, id)) {
        changes.told(
            both.about("new_need", id),
            format!("{title} needs {} now.", condition(new, id)),
        );
    }
}

fn acts(both: &Both<'_>, changes: &mut Changes) {
    let Both {
        old,
        new,
        was,
        is,
        title,
        ..
    } = both;
    let act = |p: &Procedure, id| quoted(p.acts.get(id).map_or("", |act| act.title.as_str()));
    for id in was.acts.difference(&is.acts) {
        changes.less(
            both.about("act", id),
            format!("{title} no longer says that it is the act {}, with what that act needs and warns of.", act(old, id)),
        );
    }
    for id in is.acts.difference(&was.acts) {
        changes.told(
            both.about("new_act", id),
            format!("{title} does the act {} now.", act(new, id)),
        );
    }
    let hazard = |p: &Procedure, id| quoted(p.hazards.get(id).map_or("", |h| h.title.as_str()));
    let (before, after) = (old.hazards_of(was), new.hazards_of(is));
    for id in was.hazards.difference(&after) {
        changes.less(
            both.about("hazard", id),
            format!("{title} no longer warns: {}", hazard(old, id)),
        );
    }
    for id in is.hazards.difference(&before) {
        changes.told(
            both.about("new_hazard", id),
            format!("{title} warns now: {}", hazard(new, id)),
        );
    }
}

/// What a step ends, makes owed, pays, makes true and changes.
fn names(both: &Both<'_>, changes: &mut Changes) {
    let Both {
        old,
        new,
        was,
        is,
        title,
        ..
    } = both;
    let ended = new.effective_clears(is);
    for id in was.clears.difference(&is.clears) {
        let what = condition(old, id);
        changes.either(
            !ended.contains(id),
            both.about("clear", id),
            format!("{title} no longer says itself that {what} is over."),
        );
    }
    for id in is.clears.difference(&was.clears) {
        let what = condition(new, id);
        changes.told(
            both.about("new_clear", id),
            format!("{title} says now that {what} is over."),
        );
    }
    let duty = |p: &Procedure, id| quoted(p.duties.get(id).map_or("", |d| d.title.as_str()));
    for id in was.incurs.difference(&is.incurs) {
        let what = duty(old, id);
        changes.less(
            both.about("duty", id),
            format!("After {title} nobody owes {what} any more."),
        );
    }
    for id in is.incurs.difference(&was.incurs) {
        let what = duty(new, id);
        changes.told(
            both.about("new_duty", id),
            format!("From {title} on {what} is owed now."),
        );
    }
    outcomes(both, changes);
}

/// What a pass pays, makes true, and what the step changes.
fn outcomes(both: &Both<'_>, changes: &mut Changes) {
    let Both {
        old,
        new,
        was,
        is,
        title,
        ..
    } = both;
    let duty = |p: &Procedure, id| quoted(p.duties.get(id).map_or("", |d| d.title.as_str()));
    for id in was.settles.symmetric_difference(&is.settles) {
        let now = is.settles.contains(id);
        let what = duty(if now { new } else { old }, id);
        let verb = if now { "pays now" } else { "no longer pays" };
        changes.told(
            both.about("settles", id),
            format!("{title} {verb}: {what}."),
        );
    }
    for id in was.establishes.symmetric_difference(&is.establishes) {
        let now = is.establishes.contains(id);
        let what = condition(if now { new } else { old }, id);
        let verb = if now {
            "makes true now"
        } else {
            "no longer makes true"
        };
        changes.told(
            both.about("establishes", id),
            format!("{title} {verb}: {what}."),
        );
    }
    let (before, after) = (old.changes_of(was), new.changes_of(is));
    for id in was.changes.difference(&after) {
        changes.less(
            both.about("change", id),
            format!("{title} no longer says that it changes a setting ({id}); as found and as left are not asked for any more."),
        );
    }
    for id in is.changes.difference(&before) {
        changes.told(
            both.about("new_change", id),
            format!("{title} says now that it changes a setting ({id})."),
        );
    }
}

fn ticks(both: &Both<'_>, changes: &mut Changes) {
    let title = &both.title;
    for was in &both.was.ticks {
        let Some(is) = both.is.ticks.iter().find(|tick| tick.id == was.id) else {
            changes.less(
                both.about("tick", &was.id),
                format!("{title} no longer asks for the tick {}.", quoted(&was.text)),
            );
            continue;
        };
        tick(both, was, is, changes);
    }
    for is in &both.is.ticks {
        if !both.was.ticks.iter().any(|tick| tick.id == is.id) {
            changes.told(
                both.about("new_tick", &is.id),
                format!("{title} asks for the tick {} now.", quoted(&is.text)),
            );
        }
    }
}

fn tick(both: &Both<'_>, was: &Tick, is: &Tick, changes: &mut Changes) {
    let title = &both.title;
    let what = format!("{title}: a tick");
    changes.words(&both.about("tick_text", &is.id), &what, &was.text, &is.text);
    answers(both, was, is, changes);
    if was.may_not_apply != is.may_not_apply {
        let sentence = if is.may_not_apply {
            format!(
                "{title}: {} may be answered \"does not apply\" now.",
                quoted(&is.text)
            )
        } else {
            format!("{title}: {} always applies now.", quoted(&is.text))
        };
        changes.either(
            is.may_not_apply,
            both.about("does_not_apply", &is.id),
            sentence,
        );
    }
    if was.words != is.words {
        let sentence = if is.words {
            format!("{title}: {} is answered in words now.", quoted(&is.text))
        } else {
            format!("{title}: {} no longer asks for words.", quoted(&is.text))
        };
        changes.either(was.words, both.about("words", &is.id), sentence);
    }
}

/// The words of both answers. What lets a step pass must not become another word, or
/// even the bad one, without a person who says so.
fn answers(both: &Both<'_>, was: &Tick, is: &Tick, changes: &mut Changes) {
    let what = format!("{}: the answers to {}", both.title, quoted(&is.text));
    let (good, bad) = (quoted(&is.yes), quoted(&is.no));
    if (&was.yes, &was.no) == (&is.no, &is.yes) {
        changes.less(
            both.about("tick", &is.id),
            format!("{what} are exchanged: {good} was the bad answer and lets the step pass now; {bad} was the good one and is the bad one now."),
        );
    } else if was.yes != is.yes {
        let bad = if was.no == is.no {
            String::new()
        } else {
            format!(" The bad one was {} and is {bad} now.", quoted(&was.no))
        };
        changes.less(
            both.about("tick", &is.id),
            format!(
                "{what}: the good one was {} and is {good} now.{bad}",
                quoted(&was.yes)
            ),
        );
    } else if was.no != is.no {
        changes.told(
            both.about("tick_answers", &is.id),
            format!(
                "{what}: the bad one was {} and is {bad} now.",
                quoted(&was.no)
            ),
        );
    }
}

/// Readings and workings of the step.
fn values(both: &Both<'_>, changes: &mut Changes) {
    let Both {
        old,
        new,
        was,
        is,
        title,
        ..
    } = both;
    let called = |p: &Procedure, id| quoted(p.value(id).map_or("", |(title, _)| title));
    for id in was.readings.iter().filter(|id| !is.readings.contains(id)) {
        changes.less(
            both.about("reading", id),
            format!("{title} no longer reads {}.", called(old, id)),
        );
    }
    for id in is.readings.iter().filter(|id| !was.readings.contains(id)) {
        changes.told(
            both.about("new_reading", id),
            format!("{title} reads {} now.", called(new, id)),
        );
    }
    for id in was.works.iter().filter(|id| !is.works.contains(id)) {
        changes.told(
            both.about("work", id),
            format!("{title} no longer works out {}.", called(old, id)),
        );
    }
    for id in is.works.iter().filter(|id| !was.works.contains(id)) {
        changes.told(
            both.about("new_work", id),
            format!("{title} works out {} now.", called(new, id)),
        );
    }
}

fn body(both: &Both<'_>, pairs: &Pairs<'_>, changes: &mut Changes) {
    let Both {
        old, new, title, ..
    } = both;
    match (&both.was.body, &both.is.body) {
        (
            Body::Ordinary {
                confirm: was,
                tries: old_tries,
                ways: old_ways,
            },
            Body::Ordinary {
                confirm: is,
                tries: new_tries,
                ways: new_ways,
            },
        ) => {
            confirm::compare((both.is.id.as_str(), &both.title), was, is, changes);
            tries(both.name("tries"), title, *old_tries, *new_tries, changes);
            way::compare(
                (old, new, pairs),
                (both.is.id.as_str(), title),
                (old_ways, new_ways),
                changes,
            );
        }
        (
            Body::Look {
                by_sheet: was,
                choices: old,
            },
            Body::Look {
                by_sheet: is,
                choices: new,
            },
        ) => {
            if was != is {
                let sentence = match is {
                    Some(key) => {
                        format!("{title} is answered by the sheet's {key} now, and nobody looks.")
                    }
                    None => format!("{title} is answered by a person now, not by the sheet."),
                };
                changes.either(is.is_some(), both.name("look"), sentence);
            }
            choices(both, pairs, (old, new), changes);
        }
        (Body::End(was), Body::End(is)) => {
            if was != is {
                let word = |end: EndKind| end.key().replace('_', " ");
                changes.either(
                    *was == EndKind::Complete,
                    both.name("end"),
                    format!(
                        "The end {title} was {} and is {} now.",
                        quoted(&word(*was)),
                        quoted(&word(*is))
                    ),
                );
            }
        }
        (was, is) => kind(both, was, is, changes),
    }
}

/// A step that became another kind of step.
fn kind(both: &Both<'_>, was: &Body, is: &Body, changes: &mut Changes) {
    let word = |body: &Body| match body {
        Body::Ordinary { .. } => "an ordinary step",
        Body::Look { .. } => "a look",
        Body::End(_) => "an end",
    };
    changes.less(
        both.name("kind"),
        format!(
            "{} was {} and is {} now: its ways out are others.",
            both.title,
            word(was),
            word(is)
        ),
    );
}

/// How often something may be tried.
fn tries(name: String, title: &str, was: Option<u32>, is: Option<u32>, changes: &mut Changes) {
    if was == is {
        return;
    }
    let word = |tries: Option<u32>| {
        tries.map_or_else(
            || "without a count".to_owned(),
            |n| super::counted(n as usize, "time", "times"),
        )
    };
    let less = was.is_some_and(|was| is.is_none_or(|is| is > was));
    changes.either(
        less,
        name,
        format!(
            "{title} may be tried {} now; it was {}.",
            word(is),
            word(was)
        ),
    );
}

fn choices(
    both: &Both<'_>,
    pairs: &Pairs<'_>,
    (old, new): (&[Choice], &[Choice]),
    changes: &mut Changes,
) {
    let title = &both.title;
    for was in old {
        match new.iter().find(|choice| choice.id == was.id) {
            None => changes.told(
                both.about("choice", &was.id),
                format!("{title}: {} can't be chosen any more.", quoted(&was.text)),
            ),
            Some(is) => choice(both, pairs, was, is, changes),
        }
    }
    for is in new
        .iter()
        .filter(|is| !old.iter().any(|was| was.id == is.id))
    {
        let to = both.new.step(&is.to).map_or(is.to.as_str(), |s| &s.title);
        changes.told(
            both.about("new_choice", &is.id),
            format!(
                "{title}: {} can be chosen now; it leads to {}.",
                quoted(&is.text),
                quoted(to)
            ),
        );
    }
}

fn choice(both: &Both<'_>, pairs: &Pairs<'_>, was: &Choice, is: &Choice, changes: &mut Changes) {
    let named = format!("{}, {}", both.title, quoted(&is.text));
    let id = &is.id;
    let what = format!("{}: a choice", both.title);
    changes.words(&both.about("choice_text", id), &what, &was.text, &is.text);
    if pairs.now(&was.to) != &is.to {
        changes.leads(
            way::leaves_safety((both.old, &was.to), (both.new, &is.to)),
            both.about("choice_way", id),
            format!(
                "{named} leads elsewhere now: from {} to {}.",
                way::called(both.old, &was.to),
                way::called(both.new, &is.to)
            ),
        );
    }
    for duty in was.incurs.difference(&is.incurs) {
        let what = both.old.duties.get(duty).map_or("", |d| d.title.as_str());
        changes.less(
            both.about("duty", format!("{id}:{duty}")),
            format!("{named}: nobody owes {} any more.", quoted(what)),
        );
    }
    let ids = |set: &BTreeSet<_>| {
        set.iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join(", ")
    };
    let makes = |c: &Choice| {
        c.establishes
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join(", ")
    };
    changes.words(
        &both.about("choice_establishes", id),
        &format!("{named}: what it makes true"),
        &makes(was),
        &makes(is),
    );
    changes.words(
        &both.about("choice_settles", id),
        &format!("{named}: what it pays"),
        &ids(&was.settles),
        &ids(&is.settles),
    );
    let added: BTreeSet<_> = is.incurs.difference(&was.incurs).cloned().collect();
    if !added.is_empty() {
        changes.told(
            both.about("choice_duty", id),
            format!("{named}: owed now is {}.", ids(&added)),
        );
    }
    tries(
        both.about("tries", id),
        &named,
        was.tries,
        is.tries,
        changes,
    );
}

fn texts(both: &Both<'_>, changes: &mut Changes) {
    let (was, is, title) = (both.was, both.is, &both.title);
    changes.words(&both.name("step_title"), "A step", &was.title, &is.title);
    let line = |text: &Option<String>| text.iter().cloned().collect::<Vec<_>>();
    let lists = [
        (
            "place",
            "where it is done",
            line(&was.place),
            line(&is.place),
        ),
        ("bring", "what to bring", line(&was.bring), line(&is.bring)),
        (
            "do",
            "what to do",
            was.instructions.clone(),
            is.instructions.clone(),
        ),
        (
            "see",
            "what you should see",
            was.see.clone(),
            is.see.clone(),
        ),
        ("why", "why", was.why.clone(), is.why.clone()),
    ];
    for (name, what, old, new) in lists {
        changes.lines(&both.name(name), &format!("{title}, {what}"), &old, &new);
    }
}
