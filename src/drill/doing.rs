//! What can be done at each place, in the words of the list that a person picks from.
//!
//! Must not know: keys; whether it is wise.

use crate::rig::{Bay, By, Hand, Level, Side, Spot, Write};

/// Something to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Doing {
    /// What.
    pub hand: Hand,
    /// In words.
    pub words: String,
}

fn doing(hand: Hand, words: impl Into<String>) -> Doing {
    Doing {
        hand,
        words: words.into(),
    }
}

/// What can be done at a place, as the bay stands.
pub fn doings(bay: &Bay, spot: Spot) -> Vec<Doing> {
    match spot {
        Spot::Line => vec![doing(
            Hand::WalkRound,
            "walk round both sides, send everyone behind the line",
        )],
        Spot::LeftWheel => wheel(bay, Side::Left),
        Spot::RightWheel => wheel(bay, Side::Right),
        Spot::Gauges => gauges(bay),
        Spot::Equipment => equipment(bay),
        Spot::Cab => cab(bay),
        Spot::Wall => wall(bay),
        Spot::Front => vec![if bay.front_chocks {
            doing(Hand::FrontChocks(false), "take the chocks away")
        } else {
            doing(Hand::FrontChocks(true), "chock both wheels, front and back")
        }],
        Spot::Under => Vec::new(),
    }
}

fn wheel(bay: &Bay, side: Side) -> Vec<Doing> {
    let mut list = Vec::new();
    let word = side.word();
    if bay.mudguards {
        list.push(doing(Hand::Mudguards(false), "take the mudguards off"));
    } else {
        list.push(doing(Hand::Mudguards(true), "put the mudguards back"));
    }
    if side.of(bay.stands) {
        list.push(doing(
            Hand::Stand(side, false),
            format!("take the {word} stand out"),
        ));
    } else {
        list.push(doing(
            Hand::Stand(side, true),
            format!("set the {word} stand close under the rail"),
        ));
    }
    if side.of(bay.fitted).is_some() {
        list.extend([
            doing(
                Hand::Block(side, false, By::Hand),
                "take the block out by hand",
            ),
            doing(
                Hand::Block(side, false, By::Handle),
                "take the block out by its handle",
            ),
            doing(Hand::Square(side), "square the block with the hook"),
        ]);
    } else {
        list.extend([
            doing(Hand::Wipe(side), "wipe the seat"),
            doing(
                Hand::Block(side, true, By::Hand),
                "put the block in by hand",
            ),
            doing(
                Hand::Block(side, true, By::Handle),
                "put the block in by its handle",
            ),
        ]);
    }
    list.push(doing(
        Hand::Clear(side),
        "clear the gap from outside with the hook",
    ));
    if side == Side::Left {
        list.push(if bay.drive_chock {
            doing(
                Hand::DriveChock(false),
                "take the chock from the drive wheel",
            )
        } else {
            doing(Hand::DriveChock(true), "chock the drive wheel tight")
        });
    }
    list
}

fn gauges(bay: &Bay) -> Vec<Doing> {
    if bay.gauges {
        vec![
            doing(Hand::SwapGauges, "swap the two gauges on their points"),
            doing(Hand::Gauges(false), "take both gauges off, point first"),
        ]
    } else {
        vec![doing(
            Hand::Gauges(true),
            "put both gauges on, cocks shut, then open slowly",
        )]
    }
}

fn equipment(bay: &Bay) -> Vec<Doing> {
    let mut list = Vec::new();
    if let Write::Running { .. } = bay.equipment.write {
        return vec![doing(Hand::Press, "press again")];
    }
    list.push(if bay.levelling.stopped {
        doing(Hand::Levelling(true), "start levelling")
    } else {
        doing(Hand::Levelling(false), "stop levelling")
    });
    list.push(if bay.equipment.setting {
        doing(Hand::SettingMode(false), "leave setting mode")
    } else {
        doing(Hand::SettingMode(true), "enter setting mode")
    });
    for level in Level::ALL {
        list.push(doing(
            Hand::Store(level),
            format!("store this height as {}", level.title()),
        ));
    }
    list.push(doing(Hand::Write, "begin the write-out"));
    list.push(doing(Hand::Ride, "press ride on the remote"));
    list
}

fn cab(bay: &Bay) -> Vec<Doing> {
    let mut list = vec![
        if bay.brake {
            doing(Hand::Brake(false), "let the parking brake off")
        } else {
            doing(Hand::Brake(true), "put the parking brake on")
        },
        if bay.key {
            doing(Hand::Key(false), "ignition off, key in my pocket")
        } else {
            doing(Hand::Key(true), "key in, ignition on")
        },
    ];
    list.push(doing(
        Hand::Roll,
        "roll a truck length, stop, let it settle, brake on",
    ));
    list
}

fn wall(bay: &Bay) -> Vec<Doing> {
    vec![
        if bay.rig.inputs.feed {
            doing(Hand::ShopAir(false), "shut the shop air")
        } else {
            doing(Hand::ShopAir(true), "open the shop air")
        },
        if bay.charger {
            doing(Hand::Charger(false), "support charger off")
        } else {
            doing(Hand::Charger(true), "support charger on")
        },
    ]
}
