//! Readings of the driveline.

use super::Definition;

pub(super) const DRIVELINE: [Definition; 0] = [];
