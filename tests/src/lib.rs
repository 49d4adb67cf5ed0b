//! The outside checks, the laws and the snapshots; see the files under `tests/`.
