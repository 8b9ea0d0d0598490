//! Which top-level module names which, and which crates each may use: read from
//! the source with `syn`, held against the two tables of DEVELOPERS.md.
//!
//! Modules under `#[cfg(test)]` are left out: they are in no build that people
//! run, and a test may stand on the floors above its subject.

use std::collections::{BTreeMap, BTreeSet};

use syn::visit::{self, Visit};
use syn::{Attribute, Item, ItemMod, ItemUse, Macro, UseTree};

use super::{none, text};

/// The table of the floors, lower ones first: a module, and what it may name.
const EDGES: &[(&str, &[&str])] = &[
    ("quantity", &[]),
    ("finding", &[]),
    ("input", &[]),
    ("hold", &["input"]),
    ("procedure", &["quantity"]),
    ("calc", &["quantity"]),
    ("rig", &["quantity", "calc"]),
    ("job", &["quantity", "procedure", "calc"]),
    (
        "rehearsal",
        &["quantity", "finding", "procedure", "rig", "job"],
    ),
    ("proof", &["quantity", "finding", "procedure", "calc"]),
    ("revision", &["quantity", "procedure", "job"]),
    ("journal", &["quantity", "finding", "procedure", "job"]),
    (
        "document",
        &[
            "quantity",
            "finding",
            "procedure",
            "calc",
            "rig",
            "rehearsal",
        ],
    ),
    (
        "record",
        &["quantity", "finding", "procedure", "calc", "job", "journal"],
    ),
    (
        "chart",
        &["quantity", "finding", "procedure", "calc", "proof"],
    ),
    (
        "drill",
        &[
            "quantity",
            "procedure",
            "calc",
            "rig",
            "job",
            "rehearsal",
            "journal",
            "record",
        ],
    ),
    ("app", ABOVE),
    (
        "screen",
        &[
            "quantity",
            "finding",
            "hold",
            "procedure",
            "calc",
            "job",
            "rig",
            "drill",
            "record",
            "app",
        ],
    ),
    ("io", &["finding", "input", "journal"]),
    ("cli", ABOVE),
];

/// Every module of the rows above this one.
const ABOVE: &[&str] = &["all above"];

/// Rows whose module is planned and may still be missing from `src/lib.rs`.
const PLANNED: &[&str] = &[];

/// What a module may name, with `all above` written out.
fn allowed(module: &str) -> BTreeSet<String> {
    let row = EDGES.iter().position(|(name, _)| *name == module);
    let Some(row) = row else {
        return BTreeSet::new();
    };
    let (_, names) = EDGES[row];
    let names: Vec<&str> = if names == ABOVE {
        EDGES[..row].iter().map(|(name, _)| *name).collect()
    } else {
        names.to_vec()
    };
    names.into_iter().map(str::to_owned).collect()
}

/// What one module names, with the files where it does.
#[derive(Default)]
struct Named {
    modules: BTreeMap<String, BTreeSet<String>>,
    crates: BTreeMap<String, BTreeSet<String>>,
}

/// Reads one file for names of top-level modules and of crates.
struct Reader<'n> {
    named: &'n mut Named,
    file: &'n str,
    modules: &'n BTreeSet<String>,
    /// How many `super` lead to the crate's root from here.
    depth: usize,
}

impl Reader<'_> {
    /// Notes a path by its segments, beginning with the first.
    fn note(&mut self, segments: &[String]) {
        let Some(first) = segments.first() else {
            return;
        };
        let supers = segments.iter().take_while(|s| *s == "super").count();
        let root = if first == "crate" {
            1
        } else if supers > 0 && supers == self.depth {
            supers
        } else {
            0
        };
        if root == 0 {
            if supers == 0 {
                self.keep_crate(first);
            }
        } else if let Some(module) = segments.get(root) {
            self.keep_module(module);
        }
    }

    fn keep_module(&mut self, module: &str) {
        if self.modules.contains(module) {
            let files = self.named.modules.entry(module.to_owned()).or_default();
            files.insert(self.file.to_owned());
        }
    }

    fn keep_crate(&mut self, name: &str) {
        let files = self.named.crates.entry(name.to_owned()).or_default();
        files.insert(self.file.to_owned());
    }

    fn note_use(&mut self, tree: &UseTree, before: &[String]) {
        let with = |name: String| {
            let mut segments = before.to_vec();
            segments.push(name);
            segments
        };
        match tree {
            UseTree::Path(path) => self.note_use(&path.tree, &with(path.ident.to_string())),
            UseTree::Name(name) => self.note(&with(name.ident.to_string())),
            UseTree::Rename(name) => self.note(&with(name.ident.to_string())),
            UseTree::Glob(_) => self.note(before),
            UseTree::Group(group) => {
                for item in &group.items {
                    self.note_use(item, before);
                }
            }
        }
    }
}

impl<'ast> Visit<'ast> for Reader<'_> {
    fn visit_item_mod(&mut self, module: &'ast ItemMod) {
        if for_tests(&module.attrs) {
            return;
        }
        self.depth += 1;
        visit::visit_item_mod(self, module);
        self.depth -= 1;
    }

    fn visit_item_use(&mut self, item: &'ast ItemUse) {
        if !for_tests(&item.attrs) {
            self.note_use(&item.tree, &[]);
        }
    }

    fn visit_path(&mut self, path: &'ast syn::Path) {
        if path.segments.len() > 1 {
            let segments: Vec<String> = path.segments.iter().map(|s| s.ident.to_string()).collect();
            self.note(&segments);
        }
        visit::visit_path(self, path);
    }

    /// A macro's words are no paths yet: `crate :: name` is looked for among them.
    fn visit_macro(&mut self, mac: &'ast Macro) {
        let words = mac.tokens.to_string();
        let words: Vec<&str> = words.split_whitespace().collect();
        for three in words.windows(3) {
            if let [first, "::", name] = three
                && first.ends_with("crate")
            {
                let end = name.find(|c: char| !c.is_alphanumeric() && c != '_');
                self.keep_module(end.map_or(*name, |end| &name[..end]));
            }
        }
        visit::visit_macro(self, mac);
    }
}

/// Whether an item is only built for tests.
pub(super) fn for_tests(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        let gate = attribute.path().is_ident("cfg");
        gate && attribute
            .parse_args::<syn::Path>()
            .is_ok_and(|path| path.is_ident("test"))
    })
}

/// The names of the modules that `src/lib.rs` declares, in its order.
fn declared() -> Vec<String> {
    let lib = syn::parse_file(&text("src/lib.rs")).unwrap();
    lib.items
        .iter()
        .filter_map(|item| {
            if let Item::Mod(module) = item {
                Some(module.ident.to_string())
            } else {
                None
            }
        })
        .collect()
}

/// What every module names, read from its files.
fn named() -> BTreeMap<String, Named> {
    let modules: BTreeSet<String> = declared().into_iter().collect();
    let mut all = BTreeMap::new();
    for module in &modules {
        let mut named = Named::default();
        for (file, depth) in super::tree::built(module) {
            let parsed = syn::parse_file(&text(&file)).unwrap();
            let mut reader = Reader {
                named: &mut named,
                file: &file,
                modules: &modules,
                depth,
            };
            reader.visit_file(&parsed);
        }
        named.modules.remove(module);
        all.insert(module.clone(), named);
    }
    all
}

fn listed(names: &BTreeSet<String>) -> String {
    names.iter().cloned().collect::<Vec<_>>().join(", ")
}

#[test]
fn modules_name_only_what_their_row_allows() {
    let mut faults = Vec::new();
    for (module, named) in named() {
        let allowed = allowed(&module);
        for (other, files) in &named.modules {
            if !allowed.contains(other) {
                faults.push(format!("{module} names {other} in {}", listed(files)));
            }
        }
    }
    none("edges that the table does not have", &faults);
}

#[test]
fn the_reader_of_edges_sees_every_way_to_name_a_module() {
    let source = "
        use crate::job::State;
        use crate::{finding, io::{self, Disk}};
        use super::super::screen::Theme;
        fn f() -> crate::calc::Sum { g(crate::hold::LIMIT); println!(\"{}\", crate::app::NAME) }
        mod inner { use super::super::super::cli; }
        use self::proof::Proof;
        use super::input::Key;
        #[cfg(test)] mod tests { use crate::record; }
    ";
    let modules: BTreeSet<String> = EDGES.iter().map(|(name, _)| (*name).to_owned()).collect();
    let mut named = Named::default();
    Reader {
        named: &mut named,
        file: "here",
        modules: &modules,
        depth: 2,
    }
    .visit_file(&syn::parse_file(source).unwrap());
    let found: Vec<&str> = named.modules.keys().map(String::as_str).collect();
    assert_eq!(
        found,
        [
            "app", "calc", "cli", "finding", "hold", "io", "job", "screen"
        ]
    );
}

#[test]
fn rows_are_the_modules_of_the_library_in_its_order() {
    let declared = declared();
    let rows: Vec<&str> = EDGES.iter().map(|(name, _)| *name).collect();
    let there: Vec<&str> = rows
        .iter()
        .filter(|name| declared.iter().any(|d| d == *name) || !PLANNED.contains(name))
        .copied()
        .collect();
    assert_eq!(declared, there, "src/lib.rs, and the rows of the table");
}

#[test]
fn a_row_names_only_rows_above_it() {
    for (row, (module, names)) in EDGES.iter().enumerate() {
        for name in *names {
            let above = EDGES[..row].iter().any(|(other, _)| other == name);
            assert!(
                above || *names == ABOVE,
                "{module} may name {name}, which is no floor below it"
            );
        }
    }
}

#[test]
fn the_developers_page_has_the_same_table() {
    let told: Vec<(String, String)> = super::book::table("| module | may name |")
        .into_iter()
        .map(|row| (row[0].clone(), row[1].clone()))
        .collect();
    let ours: Vec<(String, String)> = EDGES
        .iter()
        .map(|(module, names)| {
            let names = if names.is_empty() {
                "nothing".to_owned()
            } else {
                names.join(", ")
            };
            ((*module).to_owned(), names)
        })
        .collect();
    assert_eq!(told, ours, "DEVELOPERS.md, and the table of this test");
}

#[test]
fn crates_are_used_only_where_the_developers_page_says() {
    let table = super::book::crates();
    let mut faults = Vec::new();
    for (module, named) in named() {
        for (name, files) in &named.crates {
            let row = table.iter().find(|row| row.name.replace('-', "_") == *name);
            if let Some(row) = row
                && !row.places.contains(&module)
            {
                faults.push(format!("{module} uses {name} in {}", listed(files)));
            }
        }
    }
    none(
        "crates used in modules that their line does not name",
        &faults,
    );
}
