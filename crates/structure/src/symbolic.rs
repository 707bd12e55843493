//! The equations' layout, kept while positions and sections change.

use faer::Side;
use faer::sparse::SymbolicSparseColMatRef;
use faer::sparse::linalg::solvers::SymbolicLlt;

use crate::bodies::Bodies;
use crate::error::FrameError;
use crate::model::{Frame, Pins, RigidLink, Supports};
use crate::solve::Factored;

/// What stays while positions and sections change.
#[derive(Clone, Debug)]
pub struct Symbolic {
    nodes: usize,
    pub(crate) members: Vec<(usize, usize, Pins)>,
    links: Vec<RigidLink>,
    pub(crate) bodies: Bodies,
    /// Number of unknowns before those of each piece.
    pub(crate) first: Vec<usize>,
    /// Lower triangle by columns.
    pub(crate) columns: Vec<usize>,
    pub(crate) rows: Vec<usize>,
    /// For each member: the two pieces, the smaller first, and how many rows of its columns come before the other's.
    pub(crate) blocks: Vec<Option<Block>>,
    pub(crate) cholesky: Option<SymbolicLlt<usize>>,
    /// Connected part of each piece.
    pub(crate) part: Vec<usize>,
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct Block {
    /// The member's beginning is in the second piece.
    pub(crate) swapped: bool,
    pub(crate) low: usize,
    pub(crate) high: usize,
    pub(crate) rows_before: usize,
}

impl Symbolic {
    /// Checks the frame and lays out its equations.
    ///
    /// # Errors
    /// [`FrameError`]: the frame, its links or its supports are wrong.
    pub fn new(frame: &Frame, supports: &Supports) -> Result<Self, FrameError> {
        frame.check()?;
        let bodies = Bodies::new(frame, supports)?;
        let count = bodies.reference.len();
        let mut free = vec![0_usize; count];
        for &(body, _) in &bodies.place {
            free[body] += 1;
        }
        let mut first = Vec::with_capacity(count);
        let mut total = 0;
        for n in &free {
            first.push(total);
            total += n;
        }
        let mut beside: Vec<Vec<usize>> = vec![Vec::new(); count];
        for m in &frame.members {
            let (a, b) = (bodies.of[m.i], bodies.of[m.j]);
            if a != b {
                beside[a.min(b)].push(a.max(b));
            }
        }
        for list in &mut beside {
            list.sort_unstable();
            list.dedup();
        }
        let (mut columns, mut rows) = (vec![0], Vec::new());
        for body in 0..count {
            for k in 0..free[body] {
                rows.extend(first[body] + k..first[body] + free[body]);
                for &other in &beside[body] {
                    rows.extend(first[other]..first[other] + free[other]);
                }
                columns.push(rows.len());
            }
        }
        let blocks = frame
            .members
            .iter()
            .map(|m| {
                let (a, b) = (bodies.of[m.i], bodies.of[m.j]);
                let (low, high) = (a.min(b), a.max(b));
                (low != high).then(|| Block {
                    swapped: a > b,
                    low,
                    high,
                    rows_before: beside[low]
                        .iter()
                        .take_while(|o| **o < high)
                        .map(|o| free[*o])
                        .sum(),
                })
            })
            .collect();
        let n = bodies.unknowns;
        let cholesky = if n == 0 {
            None
        } else {
            let pattern = SymbolicSparseColMatRef::new_checked(n, n, &columns, None, &rows);
            Some(
                SymbolicLlt::try_new(pattern, Side::Lower)
                    .map_err(|_| FrameError::Factor { freedoms: n })?,
            )
        };
        Ok(Self {
            nodes: frame.nodes.len(),
            members: frame.members.iter().map(|m| (m.i, m.j, m.pins)).collect(),
            links: frame.rigid_links.clone(),
            part: parts(&beside),
            bodies,
            first,
            columns,
            rows,
            blocks,
            cholesky,
        })
    }

    /// Whether the frame has the members, pins, links and number of nodes this was made for.
    #[must_use]
    pub fn fits(&self, frame: &Frame) -> bool {
        self.nodes == frame.nodes.len()
            && self.links == frame.rigid_links
            && self
                .members
                .iter()
                .copied()
                .eq(frame.members.iter().map(|m| (m.i, m.j, m.pins)))
    }

    /// Number of unknowns.
    #[must_use]
    pub fn unknowns(&self) -> usize {
        self.bodies.unknowns
    }

    /// Assembles and factors the frame as it now is.
    ///
    /// # Errors
    /// [`FrameError`]: the frame is wrong or no longer the one this was made for.
    pub fn factor(&self, frame: &Frame) -> Result<Factored, FrameError> {
        frame.check()?;
        if !self.fits(frame) {
            return Err(FrameError::StructureChanged);
        }
        Factored::new(self.clone(), frame)
    }

    /// Nodes of a member.
    pub(crate) fn ends(&self, member: usize) -> (usize, usize) {
        self.members.get(member).map_or((0, 0), |m| (m.0, m.1))
    }

    /// Position in the values of row `r` of `row_body`, column `c` of `column_body` (both free, by order in their piece).
    pub(crate) fn at(
        &self,
        column: usize,
        body: usize,
        rows_before: usize,
        row_in_block: usize,
    ) -> usize {
        let own_rows = self
            .first
            .get(body + 1)
            .copied()
            .unwrap_or(self.bodies.unknowns)
            - column;
        self.columns[column] + own_rows + rows_before + row_in_block
    }
}

/// Connected parts of the pieces.
fn parts(beside: &[Vec<usize>]) -> Vec<usize> {
    fn top(of: &mut [usize], mut a: usize) -> usize {
        while of[a] != a {
            of[a] = of[of[a]];
            a = of[a];
        }
        a
    }
    let mut of: Vec<usize> = (0..beside.len()).collect();
    for (a, list) in beside.iter().enumerate() {
        for &b in list {
            let (x, y) = (top(&mut of, a), top(&mut of, b));
            of[x.max(y)] = x.min(y);
        }
    }
    (0..of.len()).map(|a| top(&mut of, a)).collect()
}
