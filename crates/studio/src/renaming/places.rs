//! Where a name stands in a studio's YAML files.

use glost_chemistry::read::{Key, Node, Rewrite, Value, folded};
use glost_core::renames::{Rename, Renamed};

use crate::values::child;

/// What finds a name in one sort of files.
pub(super) type Find = fn(&Node, &Rename) -> Vec<Rewrite>;

/// In a glaze's file.
pub(super) fn in_glaze(root: &Node, rename: &Rename) -> Vec<Rewrite> {
    let mut found = Found::of(rename);
    match rename.of {
        Renamed::Glaze => found.texts(child(root, "glaze")),
        Renamed::Clay => ["clay", "body", "recommended"]
            .iter()
            .for_each(|key| found.texts(child(root, key))),
        Renamed::Material => ["parts", "additions"]
            .iter()
            .for_each(|key| found.keys(child(root, key))),
    }
    if let Some(Value::List(items)) = child(root, "accepted").map(|node| &node.value) {
        items.iter().for_each(|item| found.end_of(child(item, "finding")));
    }
    found.rewrites
}

/// In a clay's file.
pub(super) fn in_clay(root: &Node, rename: &Rename) -> Vec<Rewrite> {
    let mut found = Found::of(rename);
    if rename.of == Renamed::Clay {
        ["clay", "body"].iter().for_each(|key| found.texts(child(root, key)));
    }
    found.rewrites
}

/// In a materials file: names, and recipes of what is mixed from others.
pub(super) fn in_materials(root: &Node, rename: &Rename) -> Vec<Rewrite> {
    let mut found = Found::of(rename);
    if let (Renamed::Material, Some(Value::List(items))) = (rename.of, child(root, "materials").map(|node| &node.value))
    {
        for item in items {
            found.texts(child(item, "name"));
            found.keys(child(item, "recipe"));
        }
    }
    found.rewrites
}

struct Found<'a> {
    rename: &'a Rename,
    rewrites: Vec<Rewrite>,
}

impl<'a> Found<'a> {
    fn of(rename: &'a Rename) -> Found<'a> {
        Found {
            rename,
            rewrites: Vec::new(),
        }
    }

    fn is_it(&self, text: &str) -> bool {
        folded(text) == folded(&self.rename.from)
    }

    /// A text, or those of a list.
    fn texts(&mut self, node: Option<&Node>) {
        match node.map(|node| (&node.value, node.mark)) {
            Some((Value::Text(text), mark)) if self.is_it(text) => self.rewrites.push(Rewrite {
                mark,
                old: text.clone(),
                new: self.rename.to.clone(),
            }),
            Some((Value::List(items), _)) => items.iter().for_each(|item| self.texts(Some(item))),
            _ => {}
        }
    }

    /// The keys of a map.
    fn keys(&mut self, node: Option<&Node>) {
        let Some(Value::Map(entries)) = node.map(|node| &node.value) else {
            return;
        };
        let own: Vec<&Key> = entries
            .iter()
            .map(|(key, _)| key)
            .filter(|key| self.is_it(&key.text))
            .collect();
        self.rewrites.extend(own.into_iter().map(|key| Rewrite {
            mark: key.mark,
            old: key.text.clone(),
            new: self.rename.to.clone(),
        }));
    }

    /// A text that ends with the name: the subject of a finding.
    fn end_of(&mut self, node: Option<&Node>) {
        let Some((Value::Text(text), mark)) = node.map(|node| (&node.value, node.mark)) else {
            return;
        };
        let Some((finding, subject)) = text.split_once(' ') else {
            return;
        };
        if self.is_it(subject) {
            self.rewrites.push(Rewrite {
                mark,
                old: text.clone(),
                new: format!("{finding} {}", self.rename.to),
            });
        }
    }
}
