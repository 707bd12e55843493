//! Readings of the front end.

use super::Definition;

pub(super) const FRONT: [Definition; 0] = [];
