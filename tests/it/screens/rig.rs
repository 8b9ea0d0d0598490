//! The truck to practise on, as it is seen in each way that it can stand: every view at
//! the sizes it is made for, with its styles at one of them.
//!
//! A truck is brought to a stand by the lines that a script has.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::Arc;

use levelhand::rig::{Bay, Deed, Hand, Params, Truck};
use levelhand::screen::{Grain, Palette, Theme, rig};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::person::{grid, styles};

/// What is done before any work: the truck is held, the gauges are on.
const READY: &str = "front_chocks set; brake off; mudguards off; gauges on; shop_air open; \
                     levelling stop; wait 2 s; ";

/// What the sheet lets a bellows have, bar.
const MOST: Option<f64> = Some(2.0);

fn truck(params: Params) -> Truck {
    Truck {
        id: "invented".to_owned(),
        title: "invented".to_owned(),
        sheet: "invented".to_owned(),
        params,
        start: [0.205; 2],
        reservoir: None,
        arm: None,
        stored: [553, 868, 256],
        dead_band: 4,
        blocks: [0.190; 2],
        write_least_v: 23.0,
        write_within_ms: 3_000,
        write_presses: 12,
        battery: "battery".to_owned(),
        cards: BTreeMap::new(),
        readings: BTreeMap::new(),
        answers: BTreeMap::new(),
    }
}

/// A truck after these lines of a script.
fn bay(params: Params, script: &str) -> Bay {
    let mut bay = Bay::new(Arc::new(truck(params)), Vec::new(), None);
    for line in script.split(';').map(str::trim).filter(|l| !l.is_empty()) {
        match Deed::parse(line).unwrap() {
            Deed::Do(hand) => {
                bay.act(&hand).unwrap();
            }
            Deed::Wait(ms) => {
                bay.pass(ms);
            }
            Deed::Hold(way, reach, ms) => {
                bay.act(&Hand::Open(way, reach)).unwrap();
                bay.pass(ms);
                bay.act(&Hand::LetGo).unwrap();
            }
            other => unreachable!("{other:?}"),
        }
    }
    bay
}

fn two(script: &str) -> Bay {
    bay(Params::two_bellows(), &format!("{READY}{script}"))
}

type View = fn(&mut Buffer, Rect, &Bay, Theme);

const VIEWS: [(&str, u16, u16, View); 7] = [
    ("truck", 46, 16, rig::truck),
    ("truck", 34, 10, rig::truck),
    ("truck", 58, 30, rig::truck),
    ("gauges", 58, 14, gauges),
    ("gauges", 57, 6, gauges),
    ("both", 44, 21, both),
    ("strip", 80, 3, strip),
];

fn gauges(buf: &mut Buffer, area: Rect, bay: &Bay, theme: Theme) {
    rig::gauges(buf, area, bay, MOST, theme);
}

fn both(buf: &mut Buffer, area: Rect, bay: &Bay, theme: Theme) {
    rig::compact(buf, area, bay, MOST, theme);
}

fn strip(buf: &mut Buffer, area: Rect, bay: &Bay, theme: Theme) {
    rig::strip(buf, area, bay, MOST, theme);
}

fn drawn(bay: &Bay, view: View, size: (u16, u16), theme: Theme) -> Buffer {
    let area = Rect::new(0, 0, size.0, size.1);
    let mut buf = Buffer::empty(area);
    view(&mut buf, area, bay, theme);
    buf
}

/// Everything that is told of a truck that stands so.
fn told(bay: &Bay) -> String {
    let mut told = String::new();
    for (name, cols, rows, view) in VIEWS {
        let buf = drawn(bay, view, (cols, rows), Theme::default());
        let _ = write!(told, "=== {name} {cols}x{rows}\n{}", grid(&buf));
    }
    let buf = drawn(bay, rig::truck, (46, 16), Theme::default());
    let _ = write!(told, "--- styles of the truck 46x16\n{}", styles(&buf));
    let plain = Theme {
        palette: Palette::None,
        grain: Grain::Half,
    };
    let buf = drawn(bay, rig::truck, (46, 16), plain);
    let _ = write!(told, "=== truck 46x16 on a plain console\n{}", grid(&buf));
    told
}

macro_rules! stands {
    ($($(#[$doc:meta])* $name:ident: $bay:expr;)*) => {$(
        $(#[$doc])*
        #[test]
        fn $name() {
            let bay: Bay = $bay;
            insta::with_settings!({ snapshot_path => "told", prepend_module_to_snapshot => false }, {
                insta::assert_snapshot!(concat!("rig_", stringify!($name)), told(&bay));
            });
        }
    )*};
}

stands! {
    /// Fifteen millimetres too high, nothing done yet.
    as_it_comes: bay(Params::two_bellows(), "");
    over_the_blocks: two("raise 0.7 s; wait 3 s; block left in by handle; block right in by handle");
    on_the_blocks: two(
        "raise 0.7 s; wait 3 s; block left in by handle; block right in by handle;
         lower 30 s; wait 3 s; look gauges"
    );
    at_the_upper_stop: two("raise 8 s; wait 3 s; look equipment");
    at_the_lower_stop: two("lower 40 s; wait 3 s; look right_wheel");
    /// The right raise line lets little through.
    leaning: bay(
        Params {
            c_s: [0.40, 0.08],
            ..Params::two_bellows()
        },
        &format!("{READY}raise 9 s; look cab"),
    );
    over_stands: two("raise 5 s; wait 3 s; stand left in; stand right in");
    /// On one side the block is in, and the valves are open.
    rising_beside_one_block: two(
        "raise 0.7 s; wait 3 s; block left in by handle; look under; raise; wait 0.9 s"
    );
    four_bellows: bay(Params::four_bellows(), &format!("{READY}look left_wheel"));
    four_bellows_at_the_lower_stop: bay(
        Params::four_bellows(),
        &format!("{READY}lower 40 s; wait 3 s"),
    );
}
