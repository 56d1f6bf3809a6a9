//! What the parts of the sheet are, for readers that do not see the page.

use std::num::NonZeroU16;

use krilla::tagging::{
    Identifier, ListNumbering, Node, TableHeaderScope, Tag, TagGroup, TagKind, TagTree,
};

use crate::page::{Part, Role, Typeset};

/// What the drawing library calls each leaf, in reading order over all pages.
#[derive(Default)]
pub(super) struct Ids {
    of: Vec<Option<Identifier>>,
}

impl Ids {
    pub(super) fn set(&mut self, leaf: usize, id: Identifier) {
        if self.of.len() <= leaf {
            self.of.resize(leaf + 1, None);
        }
        self.of[leaf] = Some(id);
    }
}

/// The tree of all parts.
pub(super) fn tree(set: &Typeset, ids: &Ids, language: &str) -> TagTree {
    let mut tree = TagTree::new().with_lang(Some(language.to_owned()));
    let mut leaf = 0;
    for part in &set.parts {
        if let Some(node) = node(part, ids, &mut leaf) {
            tree.push(node);
        }
    }
    tree
}

fn node(part: &Part, ids: &Ids, leaf: &mut usize) -> Option<Node> {
    match part {
        Part::Ornament(..) => None,
        Part::Leaf(..) => {
            let id = ids.of.get(*leaf).copied().flatten();
            *leaf += 1;
            id.map(Node::from)
        }
        Part::Group(role, parts) => {
            let mut group = TagGroup::new(kind(role));
            for part in parts {
                if let Some(node) = node(part, ids, leaf) {
                    group.push(node);
                }
            }
            Some(group.into())
        }
    }
}

fn kind(role: &Role) -> TagKind {
    match role {
        Role::Section => Tag::Section.into(),
        Role::Heading(level, words) => {
            let level = NonZeroU16::new(u16::from(*level)).unwrap_or(NonZeroU16::MIN);
            Tag::Hn(level, Some(words.clone())).into()
        }
        Role::Paragraph => Tag::P.into(),
        Role::Table => Tag::Table.into(),
        Role::Row => Tag::TR.into(),
        Role::HeadCell { of_column: true } => Tag::TH(TableHeaderScope::Column).into(),
        Role::HeadCell { of_column: false } => Tag::TH(TableHeaderScope::Row).into(),
        Role::Cell => Tag::TD.into(),
        Role::List => Tag::L(ListNumbering::None).into(),
        Role::Item => Tag::LI.into(),
        Role::Label => Tag::Lbl.into(),
        Role::Body => Tag::LBody.into(),
        Role::Figure(alt) => Tag::Figure(Some(alt.clone())).into(),
    }
}
