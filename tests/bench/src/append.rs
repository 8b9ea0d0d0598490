//! A durable append by the journal's writer against the same bytes written and
//! synced bare, to the same file system, in turn.

use std::fs::File;
use std::io::Write as _;
use std::time::{Duration, Instant};

use levelhand::io::disk::Disk;
use levelhand::io::place::Place;
use levelhand::journal::{Folder, Holder, resume};

use crate::figure::{Figure, Samples, shown};
use crate::{Programs, Wrong, shop};

const APPENDS: u64 = 600;
const MORE: Duration = Duration::from_micros(30);

pub(crate) fn run(_: &Programs) -> Result<Vec<Figure>, Wrong> {
    let root = shop::scratch("append")?;
    let place = Place::find(Some(root.clone()))?;
    let mut job = shop::job(&shop::setup()?, &place, 1, 0)?;
    let folder: Folder = job.writer.folder().clone();
    let mut bare = File::options()
        .append(true)
        .create_new(true)
        .open(root.join("bare"))?;
    // Made on a disk that does not sync; from here on by one that does.
    let loose = std::mem::replace(&mut job.writer, scratch_writer(&root)?);
    drop(loose);
    let holder = Holder {
        pid: std::process::id(),
        who: "A. Bench".to_owned(),
        since: String::new(),
        host: None,
    };
    let path = folder.journal();
    job.writer = resume(&Disk, folder, &holder, &mut |_| {})?.writer;
    let mut written = std::fs::read(&path)?.len();
    let (mut ours, mut theirs) = (Samples::default(), Samples::default());
    let mut bytes = 0;
    for n in 0..APPENDS {
        let (draft, _) = job.draft(job.long(n)?)?;
        let begun = Instant::now();
        job.writer.append(&draft)?;
        ours.take(begun.elapsed());
        let all = std::fs::read(&path)?;
        let line = all.get(written..).unwrap_or_default();
        written = all.len();
        bytes += line.len();
        let begun = Instant::now();
        bare.write_all(line)?;
        bare.sync_data()?;
        theirs.take(begun.elapsed());
    }
    let judged = |share: f64| {
        let (a, b) = (ours.at(share), theirs.at(share));
        let met = a <= b + MORE || a <= b.mul_f64(1.3);
        (a, b, met)
    };
    let (a, b, met) = judged(0.5);
    let (a90, b90, _) = judged(0.9);
    let each = bytes as u64 / APPENDS;
    println!(
        "append: {APPENDS} each in turn, {each} bytes a line; more at the median {}",
        shown(a.saturating_sub(b))
    );
    Ok(vec![
        Figure::times("median", (a, b), "write + fdatasync", "1.3x or +30 µs", met),
        Figure::times("p90", (a90, b90), "p90", "", true).told(),
    ])
}

/// A writer of another job, to stand in while the real one changes disks.
fn scratch_writer(root: &std::path::Path) -> Result<levelhand::journal::Writer, Wrong> {
    let place = Place::find(Some(root.join("other")))?;
    Ok(shop::Bench::open(&shop::setup()?, &place, 2, 0)?.writer)
}
