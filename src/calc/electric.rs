//! Battery and support: a voltage against its window, the supply codes of ISO
//! 16750-2, voltage at rest from acid density, charge from voltage at rest.
//!
//! Invariant: lists of charge differ, so charge is always given as two values and
//! never as one.

use uom::si::f64::{ElectricPotential, Ratio, Time};

use super::amount::Amount;
use super::error::Snag;
use super::given::{Inputs, Outcome};
use super::sum::{Input, Output, Sum};
use crate::quantity::Kind;

#[cfg(test)]
mod tests;

const SUBJECT: &str = "battery and support";

/// What a truck's battery is called, and how many cells it has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nominal {
    /// 12 V: 6 cells.
    Twelve,
    /// 24 V: 12 cells.
    TwentyFour,
}

impl Nominal {
    const WORDS: &'static [&'static str] = &["twelve_volt", "twenty_four_volt"];

    fn from_word(word: &str) -> Self {
        if word == "twenty_four_volt" {
            Self::TwentyFour
        } else {
            Self::Twelve
        }
    }

    /// Cells in series.
    pub const fn cells(self) -> f64 {
        match self {
            Self::Twelve => 6.0,
            Self::TwentyFour => 12.0,
        }
    }

    /// So much a cell, over the whole battery.
    fn whole(self, cell_v: f64) -> ElectricPotential {
        ElectricPotential::of_si(cell_v * self.cells())
    }
}

/// Least and most volts a cell that any window for support can have.
///
/// # Source
/// Common practice: a cell under 1.75 V is flat; ISO 16750-2 ends at 32 V for 12
/// cells (from memory, very sure).
const CELL_WINDOW_V: (f64, f64) = (1.75, 32.0 / 12.0);

/// Volts a flooded cell has at rest, less its density in kg/l.
///
/// # Source
/// Rule of the trade (from memory, very sure); 2.12 V at 1.28 kg/l in a battery
/// maker's public page.
const CELL_RULE_V: f64 = 0.84;

/// A flooded cell's voltage at rest.
///
/// # Units
/// Density against water, which is kg/l.
pub fn cell_voltage(density: Ratio) -> ElectricPotential {
    ElectricPotential::of_si(density.si() + CELL_RULE_V)
}

/// How much of its charge a battery has by its voltage at rest: by a list that is
/// sparing and by one that is generous.
///
/// Generous: 12.6, 12.4, 12.2, 12.0 V for 100, 75, 50, 25 %, straight between and on
/// to 0 %. Sparing: 12.72 V for 100 %, 12.5 V for 70 %, and below that as far from the
/// generous list as there (0.14 V), since it has no lower number.
///
/// # Source
/// Generous: a public thread of radio engineers. Sparing: a battery dealer's public
/// page; below 70 % our derivation.
pub fn charge(nominal: Nominal, rested: ElectricPotential) -> (Ratio, Ratio) {
    let twelve_v = rested.si() * 6.0 / nominal.cells();
    let whole = |share: f64| Ratio::of_si(share.clamp(0.0, 1.0));
    (whole(sparing(twelve_v)), whole(generous(twelve_v)))
}

/// Share for each volt by the generous list.
const SHARE_PER_V: f64 = 0.25 / 0.2;
const GENEROUS_FULL_V: f64 = 12.6;
const SPARING_FULL_V: f64 = 12.72;
const RECHARGE_V: f64 = 12.5;
const RECHARGE_SHARE: f64 = 0.7;

fn generous(twelve_v: f64) -> f64 {
    1.0 - (GENEROUS_FULL_V - twelve_v) * SHARE_PER_V
}

fn sparing(twelve_v: f64) -> f64 {
    let below_v = RECHARGE_V - twelve_v;
    if below_v > 0.0 {
        RECHARGE_SHARE - below_v * SHARE_PER_V
    } else {
        let slope = (1.0 - RECHARGE_SHARE) / (SPARING_FULL_V - RECHARGE_V);
        RECHARGE_SHARE - below_v * slope
    }
}

/// Below this voltage at rest a battery wants charging: 12.5 V, 25.0 V.
///
/// # Source
/// A battery dealer's public page: recharge at 70 % or 12.5 V.
pub fn recharge_threshold(nominal: Nominal) -> ElectricPotential {
    nominal.whole(RECHARGE_V / 6.0)
}

/// Before a voltage counts as at rest: 4 h.
///
/// # Source
/// As [`recharge_threshold`].
pub const REST_S: f64 = 4.0 * 3600.0;

/// What a meter's limit of error leaves open of the charge, by the generous list.
pub fn charge_doubt(nominal: Nominal, limit: ElectricPotential) -> Ratio {
    Ratio::of_si(limit.si() * 6.0 / nominal.cells() * SHARE_PER_V)
}

/// Least and most voltage of a supply code for 24 V.
///
/// # Source
/// ISO 16750-2:2012 Table 2 (from memory, very sure). `None` for another word.
pub fn supply_window(code: &str) -> Option<(ElectricPotential, ElectricPotential)> {
    let (least, most) = match code {
        "code_e" => (10.0, 32.0),
        "code_f" => (16.0, 32.0),
        "code_g" => (22.0, 32.0),
        "code_h" => (18.0, 32.0),
        _ => return None,
    };
    let volts = ElectricPotential::of_si;
    Some((volts(least), volts(most)))
}

const NOMINAL: Input = Input::word("nominal", "what the battery is called", Nominal::WORDS);

/// Least and most volts a cell that any lead battery shows, with or without a charger.
///
/// # Source
/// Common practice: drawn down flat a cell keeps over 1 V, on any charger it stays
/// under 3 V.
const CELL_V: (f64, f64) = (1.0, 3.0);

const RESTED: Input = Input::one("voltage", "voltage at rest", Kind::Voltage).within(
    6.0,
    36.0,
    "a lead battery has 1 V to 3 V a cell: 6 V to 18 V, or 12 V to 36 V",
);

/// A voltage anywhere on a truck.
const fn on_truck(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Voltage).within(
        0.0,
        60.0,
        "a truck has 0 V to 60 V, with the leads the right way round",
    )
}

/// Refuses what a battery of that name can't have.
fn of_battery(nominal: Nominal, voltage: ElectricPotential) -> Result<(), Snag> {
    // Written so that a voltage that is no number is refused too.
    let fits = voltage >= nominal.whole(CELL_V.0) && voltage <= nominal.whole(CELL_V.1);
    if fits {
        Ok(())
    } else {
        Err(Snag::new(
            "voltage",
            "that is no battery of this nominal voltage (1 V to 3 V a cell); look at the leads and whether it is 12 V or 24 V",
        ))
    }
}

/// A voltage against the sheet's window.
pub(super) static SUPPORT_VOLTAGE: Sum = Sum {
    name: "support_voltage",
    subject: SUBJECT,
    title: "support voltage against the sheet's window",
    formula: &[
        "low margin = voltage − least",
        "high margin = most − voltage",
        "per cell = voltage / 6 or 12",
    ],
    source: "the window is the sheet's; cells of a lead battery: common practice",
    range: "Read at the battery's posts with the support on, ignition as it will be at the write. \
            A window that no battery of that name could have is refused: under 1.75 V or over 2.67 V a cell. \
            So is a voltage that it could not have: under 1 V or over 3 V a cell.",
    inputs: &[
        NOMINAL,
        on_truck("voltage", "support voltage"),
        Input::one("least", "least by the sheet", Kind::Voltage),
        Input::one("most", "most by the sheet", Kind::Voltage),
    ],
    outputs: &[
        Output::of("low_margin", "voltage over the least", Kind::Voltage),
        Output::of("high_margin", "voltage under the most", Kind::Voltage),
        Output::of("per_cell", "voltage of a cell", Kind::Voltage),
    ],
    example: &[
        ("nominal", "twenty_four_volt"),
        ("voltage", "27.1 V"),
        ("least", "25.2 V"),
        ("most", "28.4 V"),
    ],
    picture: None,
    work: support,
};

fn support(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let nominal = Nominal::from_word(given.word(0));
    let volts = |at| given.get::<ElectricPotential>(at);
    let (voltage, least, most) = (volts(1), volts(2), volts(3));
    if least < nominal.whole(CELL_WINDOW_V.0) {
        return Err(Snag::new(
            "least",
            "a battery of that name is flat there (1.75 V a cell); look whether the sheet is for 12 V or 24 V",
        ));
    }
    if most > nominal.whole(CELL_WINDOW_V.1) {
        return Err(Snag::new(
            "most",
            "no equipment for a battery of that name stands it (2.67 V a cell); look whether the sheet is for 12 V or 24 V",
        ));
    }
    if most < least {
        return Err(Snag::new("most", "it must not be under the least"));
    }
    of_battery(nominal, voltage)?;
    out.set(0, voltage - least);
    out.set(1, most - voltage);
    out.set(2, voltage / nominal.cells());
    Ok(())
}

/// A voltage against a supply code.
pub(super) static SUPPLY_CODE: Sum = Sum {
    name: "supply_code",
    subject: SUBJECT,
    title: "voltage against a supply code of 24 V equipment",
    formula: &[
        "low margin = voltage − least of the code",
        "high margin = most of the code − voltage",
    ],
    source: "ISO 16750-2:2012 Table 2: E 10–32, F 16–32, G 22–32, H 18–32 V (from memory, very sure)",
    range: "24 V equipment that names its code. It says where the equipment works, not whether the battery is well.",
    inputs: &[
        Input::word(
            "code",
            "supply code",
            &["code_e", "code_f", "code_g", "code_h"],
        ),
        on_truck("voltage", "voltage at the equipment"),
    ],
    outputs: &[
        Output::of("low_margin", "voltage over the least", Kind::Voltage),
        Output::of("high_margin", "voltage under the most", Kind::Voltage),
        Output::of("least", "least of the code", Kind::Voltage),
        Output::of("most", "most of the code", Kind::Voltage),
    ],
    example: &[("code", "code_g"), ("voltage", "24.1 V")],
    picture: None,
    work: |given, out| {
        let window = supply_window(given.word(0));
        let (least, most) = window.ok_or(Snag::new("code", "there is no such code"))?;
        let voltage = given.get::<ElectricPotential>(1);
        out.set(0, voltage - least);
        out.set(1, most - voltage);
        out.set(2, least);
        out.set(3, most);
        Ok(())
    },
};

/// Voltage at rest from acid density.
pub(super) static REST_VOLTAGE: Sum = Sum {
    name: "rest_voltage",
    subject: SUBJECT,
    title: "voltage at rest from the acid's density",
    formula: &["cell = density in kg/l + 0.84 V", "battery = 6 or 12 cells"],
    source: "rule of the trade (from memory, very sure); 2.12 V at 1.28 kg/l in a public page",
    range: "Flooded lead cells near 25 °C, at rest, all alike. One cell with less density brings the battery down by itself.",
    inputs: &[
        Input::one("density", "acid density, kg/l", Kind::Ratio).within(
            1.05,
            1.35,
            "battery acid is from 1.05 (flat) to 1.35 kg/l",
        ),
    ],
    outputs: &[
        Output::of("cell", "one cell", Kind::Voltage),
        Output::of("twelve_volt", "6 cells", Kind::Voltage),
        Output::of("twenty_four_volt", "12 cells", Kind::Voltage),
    ],
    example: &[("density", "1.265")],
    picture: None,
    work: |given, out| {
        let cell = cell_voltage(given.get(0));
        out.set(0, cell);
        out.set(1, cell * Nominal::Twelve.cells());
        out.set(2, cell * Nominal::TwentyFour.cells());
        Ok(())
    },
};

/// Charge from voltage at rest.
pub(super) static CHARGE: Sum = Sum {
    name: "charge",
    subject: SUBJECT,
    title: "charge by the voltage at rest, between two lists",
    formula: &[
        "generous: 12.6, 12.4, 12.2, 12.0 V are 100, 75, 50, 25 %",
        "sparing: 12.72 V is 100 %, 12.5 V is 70 %; below, 0.14 V over the generous list",
        "24 V: half the voltage",
    ],
    source: "two public lists; below 70 % the sparing one is our derivation",
    range: "A flooded lead battery that has rested at least 4 h, near 25 °C. Lists differ by 0.2 to 0.3 V on 24 V: \
            the truth lies somewhere between the two. Full and flat are ends: over and under them nothing is told apart. \
            6 V to 13.2 V for 12 V, 12 V to 26.4 V for 24 V; more is not at rest.",
    inputs: &[NOMINAL, RESTED],
    outputs: &[
        Output::of("low", "charge by the sparing list", Kind::Ratio),
        Output::of("high", "charge by the generous list", Kind::Ratio),
    ],
    example: &[("nominal", "twenty_four_volt"), ("voltage", "24.8 V")],
    picture: None,
    work: |given, out| {
        let nominal = Nominal::from_word(given.word(0));
        let voltage = given.get::<ElectricPotential>(1);
        of_battery(nominal, voltage)?;
        if voltage > nominal.whole(2.2) {
            return Err(Snag::new(
                "voltage",
                "it is more than 2.2 V a cell: still on charge or not yet at rest",
            ));
        }
        let (low, high) = charge(nominal, voltage);
        out.set(0, low);
        out.set(1, high);
        Ok(())
    },
};

/// Whether a battery wants charging.
pub(super) static RECHARGE: Sum = Sum {
    name: "recharge",
    subject: SUBJECT,
    title: "voltage at rest over the point where a battery wants charging",
    formula: &[
        "margin = voltage − 12.5 V (25.0 V)",
        "rest margin = rested − 4 h",
    ],
    source: "a battery dealer's public page: recharge at 70 % or 12.5 V, at least 4 h at rest",
    range: "A flooded lead battery without charger or load. A reading before 4 h of rest is too high after charging and too low after work. \
            6 V to 18 V for 12 V, 12 V to 36 V for 24 V; that is 1 V to 3 V a cell.",
    inputs: &[
        NOMINAL,
        RESTED,
        Input::one("rested", "how long it has rested", Kind::Time)
            .optional()
            .least(0.0, "a rest is a stretch of time"),
    ],
    outputs: &[
        Output::of(
            "margin",
            "voltage over that point, − wants charging",
            Kind::Voltage,
        ),
        Output::of("threshold", "that point", Kind::Voltage),
        Output::of(
            "rest_margin",
            "rest over 4 h, − is too early to say",
            Kind::Time,
        )
        .optional(),
    ],
    example: &[
        ("nominal", "twenty_four_volt"),
        ("voltage", "25.3 V"),
        ("rested", "6 h"),
    ],
    picture: None,
    work: |given, out| {
        let nominal = Nominal::from_word(given.word(0));
        let voltage = given.get::<ElectricPotential>(1);
        of_battery(nominal, voltage)?;
        let threshold = recharge_threshold(nominal);
        out.set(0, voltage - threshold);
        out.set(1, threshold);
        if let Some(rested) = given.maybe::<Time>(2) {
            out.set(2, rested - Time::of_si(REST_S));
        }
        Ok(())
    },
};

/// What a meter leaves open.
pub(super) static METER_DOUBT: Sum = Sum {
    name: "meter_doubt",
    subject: SUBJECT,
    title: "what a meter's limit of error leaves open of voltage and charge",
    formula: &[
        "± volts = share · voltage",
        "± charge = ± volts · 25 % / 0.2 V (0.4 V on 24 V)",
    ],
    source: "a public thread of radio engineers: ± 1 % of 12 V is about ± 15 % of charge",
    range: "The limit as a share of the reading, by the slope of the generous list; between flat and full.",
    inputs: &[
        NOMINAL,
        Input::one(
            "share",
            "limit of error as a share of the reading",
            Kind::Ratio,
        )
        .within(0.0, 0.5, "a meter that may be off by half tells nothing"),
        on_truck("voltage", "reading"),
    ],
    outputs: &[
        Output::of("charge", "± charge", Kind::Ratio),
        Output::of("volts", "± volts", Kind::Voltage),
    ],
    example: &[
        ("nominal", "twelve_volt"),
        ("share", "1 %"),
        ("voltage", "12.0 V"),
    ],
    picture: None,
    work: |given, out| {
        let nominal = Nominal::from_word(given.word(0));
        let limit = given.get::<ElectricPotential>(2) * given.get::<Ratio>(1).si();
        out.set(0, charge_doubt(nominal, limit));
        out.set(1, limit);
        Ok(())
    },
};
