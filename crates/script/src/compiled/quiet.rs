//! Whether a piece of a compiled script says anything of the glaze.

use super::compiler::Compiler;
use super::program::{Node, Piece};

impl Compiler<'_> {
    pub(super) fn says(&self, node: &Node) -> bool {
        let any = |nodes: &[Node]| nodes.iter().any(|node| self.says(node));
        match node {
            Node::Say(_) => true,
            Node::Call(function, arguments) => self.done[*function].speaks || any(arguments),
            Node::Constant(_) | Node::Slot(_) | Node::Break | Node::Continue => false,
            Node::Template(pieces) => pieces.iter().any(|piece| match piece {
                Piece::Plain(_) => false,
                Piece::Shown(node) | Piece::Joined(node) | Piece::Fixed(node, _) => self.says(node),
            }),
            Node::Table(cells) => cells.iter().flatten().any(|node| self.says(node)),
            Node::Property(of, _) | Node::Not(of) | Node::Negative(of) | Node::Within(of, _) | Node::Return(of) => {
                self.says(of)
            }
            Node::Set(_, _, of) => self.says(of),
            Node::Index(two) | Node::Operation(_, two) => self.says(&two.0) || self.says(&two.1),
            Node::All(nodes) | Node::Any(nodes) | Node::Native(_, nodes) | Node::Block(nodes) => any(nodes),
            Node::If(parts) => [&parts.0, &parts.1, &parts.2].into_iter().any(|node| self.says(node)),
            Node::Switch(switch) => self.says(&switch.of) || any(&switch.arms),
            Node::For(turns) => self.says(&turns.through) || any(&turns.body),
        }
    }
}
