//! No module of a crate may use another that uses it in turn, directly or over others.
//!
//! A module is a file. What it names of its own crate is looked up where it is defined:
//! a name that a module hands on (`pub use`) counts for the module that defines it, and
//! handing on alone is no use. What is compiled for tests only does not count.

use std::{
    collections::{BTreeMap, BTreeSet},
    path::{Path, PathBuf},
};

use syn::{
    Attribute, Item, UseTree,
    visit::{self, Visit},
};

/// Names of modules from the top of the crate down.
type Module = Vec<String>;

/// What a module takes from others, and what it hands on.
#[derive(Default)]
struct Names {
    /// Modules declared in it.
    children: BTreeSet<String>,
    /// Names that it hands on, and where they come from.
    handed_on: BTreeMap<String, Vec<String>>,
    /// Modules of which it hands on everything.
    handed_on_whole: Vec<Vec<String>>,
    /// Paths that it uses, from the top of the crate.
    used: BTreeSet<Vec<String>>,
    /// Names with which paths in its code begin.
    first: BTreeSet<String>,
}

/// The modules of a crate, by their path.
#[derive(Default)]
pub(crate) struct Crate(BTreeMap<Module, Names>);

impl Crate {
    /// Reads a crate from its sources: path below `src`, and text.
    pub(crate) fn read<'a>(sources: impl IntoIterator<Item = (&'a Path, String)>) -> Self {
        let mut modules = BTreeMap::new();
        for (path, text) in sources {
            let file = syn::parse_file(&text).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
            let module = module_of(path);
            let mut reader = Reader {
                module: &module,
                inside: Vec::new(),
                names: Names::default(),
            };
            reader.names.children = children(&file.items);
            reader.visit_file(&file);
            let mut names = reader.names;
            // what it hands on and uses itself it uses
            for name in &names.first {
                names.used.extend(names.handed_on.get(name).cloned());
            }
            modules.insert(module, names);
        }
        let mut all = Self(modules);
        all.forget_tests();
        all
    }

    /// Leaves out files that are declared for tests only.
    fn forget_tests(&mut self) {
        let is_declared = |module: &Module| {
            (1..=module.len()).all(|n| {
                let (name, parent) = module[..n].split_last().expect("a name");
                let parent = self.0.get(parent);
                parent.is_some_and(|names| names.children.contains(name))
            })
        };
        let kept: BTreeSet<Module> = self.0.keys().filter(|m| is_declared(m)).cloned().collect();
        self.0.retain(|module, _| kept.contains(module));
    }

    /// The module that defines what this path names; `None` when it is of another crate.
    fn defined_in(&self, path: &[String], deep: usize) -> Option<Module> {
        // names handed round in a ring end somewhere
        if deep > 20 {
            return None;
        }
        let known = (0..=path.len())
            .rev()
            .find(|n| self.0.contains_key(&path[..*n]))?;
        let (module, rest) = path.split_at(known);
        let names = self.0.get(module)?;
        let Some((name, further)) = rest.split_first() else {
            return Some(module.to_vec());
        };
        if let Some(origin) = names.handed_on.get(name) {
            let origin = [origin, further].concat();
            return self.defined_in(&origin, deep + 1);
        }
        let whole = names.handed_on_whole.iter().find_map(|origin| {
            let path = [origin.as_slice(), rest].concat();
            self.defined_in(&path, deep + 1).filter(|m| m != origin)
        });
        Some(whole.unwrap_or_else(|| module.to_vec()))
    }

    /// Rings of modules, each with the uses that tie it.
    pub(crate) fn circles(&self) -> Vec<String> {
        let mut arrows: BTreeMap<Module, BTreeMap<Module, String>> = BTreeMap::new();
        for (from, names) in &self.0 {
            for path in &names.used {
                if let Some(to) = self.defined_in(path, 0).filter(|to| to != from) {
                    let to_what = arrows.entry(from.clone()).or_default().entry(to);
                    to_what.or_insert_with(|| path.join("::"));
                }
            }
        }
        let reach: BTreeMap<&Module, BTreeSet<&Module>> =
            arrows.keys().map(|m| (m, reached(&arrows, m))).collect();
        let mut told = BTreeSet::new();
        let mut circles = Vec::new();
        for module in arrows.keys() {
            let returns = |other: &&&Module| reach.get(**other).is_some_and(|r| r.contains(module));
            let ring: BTreeSet<&Module> = reach[module].iter().filter(returns).copied().collect();
            if !ring.contains(module) || !told.insert(ring.clone()) {
                continue;
            }
            let ties = ring.iter().flat_map(|from| {
                let to = arrows.get(*from).into_iter().flatten();
                let inside = to.filter(|(to, _)| ring.contains(to));
                inside.map(|(to, what)| format!("{} uses {}: {what}", shown(from), shown(to)))
            });
            circles.push(ties.collect::<Vec<_>>().join("\n    "));
        }
        circles
    }
}

/// Modules that can be reached from this one.
fn reached<'a>(
    arrows: &'a BTreeMap<Module, BTreeMap<Module, String>>,
    from: &Module,
) -> BTreeSet<&'a Module> {
    let mut found = BTreeSet::new();
    let mut waiting = vec![from];
    while let Some(module) = waiting.pop() {
        for to in arrows.get(module).into_iter().flat_map(BTreeMap::keys) {
            if found.insert(to) {
                waiting.push(to);
            }
        }
    }
    found
}

fn shown(module: &Module) -> String {
    if module.is_empty() {
        return "the top".to_owned();
    }
    module.join("::")
}

/// The module that a file below `src` is.
fn module_of(path: &Path) -> Module {
    let parts: PathBuf = path.with_extension("");
    let mut module: Module = parts
        .components()
        .map(|part| part.as_os_str().to_string_lossy().into_owned())
        .collect();
    let face = module.last().map(String::as_str);
    if matches!(face, Some("mod")) || module.len() == 1 && matches!(face, Some("lib" | "main")) {
        module.pop();
    }
    module
}

fn children(items: &[Item]) -> BTreeSet<String> {
    let modules = items.iter().filter_map(|item| match item {
        Item::Mod(module) if !for_tests(&module.attrs) => Some(module.ident.to_string()),
        _ => None,
    });
    modules.collect()
}

/// Compiled for tests only.
pub(crate) fn for_tests(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        attribute.path().is_ident("cfg")
            && attribute
                .parse_args::<syn::Path>()
                .is_ok_and(|condition| condition.is_ident("test"))
    })
}

struct Reader<'a> {
    module: &'a Module,
    /// Modules written out in the file around the place that is read.
    inside: Vec<String>,
    names: Names,
}

impl Reader<'_> {
    /// The path from the top of the crate; `None` when it begins elsewhere.
    fn absolute(&self, path: &[String]) -> Option<Vec<String>> {
        let mut here = [self.module.as_slice(), &self.inside].concat();
        let (first, mut rest) = path.split_first()?;
        match first.as_str() {
            "crate" => return Some(rest.to_vec()),
            "self" => {}
            "super" => {
                here.pop();
                while let Some((_, more)) = rest.split_first().filter(|(f, _)| *f == "super") {
                    here.pop();
                    rest = more;
                }
            }
            child if self.inside.is_empty() && self.names.children.contains(child) => {
                here.push(child.to_owned());
            }
            _ => return None,
        }
        Some([here.as_slice(), rest].concat())
    }

    fn uses(&mut self, path: &[String]) {
        if let Some(path) = self.absolute(path) {
            self.names.used.insert(path);
        }
    }

    fn tree(&mut self, tree: &UseTree, before: &[String], hands_on: bool) {
        let with = |name: &syn::Ident| [before, &[name.to_string()]].concat();
        match tree {
            UseTree::Path(path) => self.tree(&path.tree, &with(&path.ident), hands_on),
            UseTree::Group(group) => {
                for tree in &group.items {
                    self.tree(tree, before, hands_on);
                }
            }
            UseTree::Name(name) if name.ident == "self" => self.uses(before),
            UseTree::Name(name) => self.named(&with(&name.ident), &name.ident, hands_on),
            UseTree::Rename(name) => self.named(&with(&name.ident), &name.rename, hands_on),
            UseTree::Glob(_) => match self.absolute(before) {
                Some(whole) if hands_on => self.names.handed_on_whole.push(whole),
                Some(whole) => drop(self.names.used.insert(whole)),
                None => {}
            },
        }
    }

    fn named(&mut self, path: &[String], name: &syn::Ident, hands_on: bool) {
        let Some(origin) = self.absolute(path) else {
            return;
        };
        if !hands_on {
            self.names.used.insert(origin.clone());
        }
        // a child may name what its parent took in
        self.names.handed_on.insert(name.to_string(), origin);
    }
}

impl<'ast> Visit<'ast> for Reader<'_> {
    fn visit_item(&mut self, item: &'ast Item) {
        if for_tests(attributes(item)) {
            return;
        }
        match item {
            Item::Use(item) => {
                let hands_on = !matches!(item.vis, syn::Visibility::Inherited);
                self.tree(&item.tree, &[], hands_on);
            }
            Item::Mod(module) if module.content.is_some() => {
                self.inside.push(module.ident.to_string());
                visit::visit_item(self, item);
                self.inside.pop();
            }
            _ => visit::visit_item(self, item),
        }
    }

    fn visit_path(&mut self, path: &'ast syn::Path) {
        let names: Vec<String> = path.segments.iter().map(|s| s.ident.to_string()).collect();
        self.uses_words(&names);
        visit::visit_path(self, path);
    }

    fn visit_macro(&mut self, called: &'ast syn::Macro) {
        // what stands in a macro is words only: a path is words with `::` between
        let words = called.tokens.to_string();
        let mut path: Vec<String> = Vec::new();
        let mut joined = false;
        for word in words.split_whitespace().flat_map(apart) {
            if word == "::" {
                joined = true;
                continue;
            }
            if !joined {
                self.uses_words(&path);
                path.clear();
            }
            joined = false;
            path.push(word.to_owned());
        }
        self.uses_words(&path);
        visit::visit_macro(self, called);
    }
}

impl Reader<'_> {
    fn uses_words(&mut self, path: &[String]) {
        // the first may have been handed on by this module
        self.names.first.extend(path.first().cloned());
        if path.len() > 1 {
            self.uses(path);
        }
    }
}

/// Names, and what stands between them.
fn apart(word: &str) -> impl Iterator<Item = &str> {
    let mut rest = word;
    std::iter::from_fn(move || {
        let first = rest.chars().next()?;
        let is_name = |c: char| c.is_alphanumeric() || c == '_';
        let length = if rest.starts_with("::") {
            2
        } else if is_name(first) {
            rest.find(|c| !is_name(c)).unwrap_or(rest.len())
        } else {
            first.len_utf8()
        };
        let (part, more) = rest.split_at(length);
        rest = more;
        Some(part)
    })
}

fn attributes(item: &Item) -> &[Attribute] {
    match item {
        Item::Const(i) => &i.attrs,
        Item::Enum(i) => &i.attrs,
        Item::Fn(i) => &i.attrs,
        Item::Impl(i) => &i.attrs,
        Item::Macro(i) => &i.attrs,
        Item::Mod(i) => &i.attrs,
        Item::Static(i) => &i.attrs,
        Item::Struct(i) => &i.attrs,
        Item::Trait(i) => &i.attrs,
        Item::Type(i) => &i.attrs,
        Item::Use(i) => &i.attrs,
        _ => &[],
    }
}

#[test]
fn a_ring_of_modules_is_seen_through_every_kind_of_use() {
    let of = |sources: &[(&str, &str)]| {
        let sources = sources
            .iter()
            .map(|(p, t)| (Path::new(*p), (*t).to_owned()));
        Crate::read(sources).circles()
    };
    let top = ("lib.rs", "mod a; mod b; pub use a::A; pub use b::{B, b};");
    let a = ("a.rs", "use crate::b::B; pub struct A(B);");
    for b in [
        "use crate::a::A; pub struct B; ",
        "use super::A; pub struct B;",
        "use super::a; pub struct B;",
        "pub struct B; pub fn b() { super::a::A::new(); }",
        "pub struct B; pub fn b() { println!(\"{}\", crate::A::LEFT); }",
        "mod inner { use super::super::A; } pub struct B;",
        "use crate::a::*; pub struct B;",
        "pub use crate::a::A; pub struct B(A);",
        "pub use crate::a::A as C; pub struct B; fn b() { C::new(); }",
    ] {
        let found = of(&[top, a, ("b.rs", b)]);
        assert_eq!(found.len(), 1, "{b}");
        assert!(found[0].contains("a uses b") && found[0].contains("b uses a"));
    }
    for b in [
        "pub struct B; // crate::a::A",
        "pub struct B; #[cfg(test)] mod tests { use crate::a::A; }",
        "pub struct B; pub use crate::a::A as C;",
        "use std::fmt::Debug; pub struct B;",
    ] {
        assert_eq!(of(&[top, a, ("b.rs", b)]), [""; 0], "{b}");
    }
    // a child that uses what its parent defines, and a parent that uses the child
    let found = of(&[
        ("lib.rs", "mod a;"),
        ("a.rs", "mod c; use c::C; pub struct A(C);"),
        ("a/c.rs", "use super::A; pub struct C;"),
    ]);
    assert_eq!(found.len(), 1);
}
