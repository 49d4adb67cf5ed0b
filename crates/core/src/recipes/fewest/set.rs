//! A set of materials, as the bits of a number.

/// Materials that a search can tell apart at most.
pub const MOST_MATERIALS: usize = 128;

/// Some of at most [`MOST_MATERIALS`] materials.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash, PartialOrd, Ord)]
pub(super) struct Set(u128);

impl Set {
    pub fn of(members: impl IntoIterator<Item = usize>) -> Set {
        members.into_iter().fold(Set::default(), Set::with)
    }

    pub fn with(self, member: usize) -> Set {
        Set(self.0 | 1 << member)
    }

    pub fn without(self, other: Set) -> Set {
        Set(self.0 & !other.0)
    }

    pub fn and(self, other: Set) -> Set {
        Set(self.0 & other.0)
    }

    pub fn or(self, other: Set) -> Set {
        Set(self.0 | other.0)
    }

    pub fn has(self, member: usize) -> bool {
        self.0 >> member & 1 == 1
    }

    pub fn meets(self, other: Set) -> bool {
        self.0 & other.0 != 0
    }

    pub fn is_within(self, other: Set) -> bool {
        self.0 & !other.0 == 0
    }

    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    pub fn len(self) -> usize {
        self.0.count_ones() as usize
    }

    pub fn members(self) -> impl Iterator<Item = usize> {
        let mut rest = self.0;
        std::iter::from_fn(move || {
            (rest != 0).then(|| {
                let member = rest.trailing_zeros() as usize;
                rest &= rest - 1;
                member
            })
        })
    }
}
