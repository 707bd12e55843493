//! Readings of the clearances.

use super::Definition;

pub(super) const CLEARANCE: [Definition; 0] = [];
