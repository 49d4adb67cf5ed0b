//! studio
