//! What can be wrong with a frame, and why a load can have no answer.

use thiserror::Error;

use crate::motion::FreeMotions;

/// A frame that cannot be a frame. Nodes and members by their index.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum FrameError {
    /// A node's position is not finite.
    #[error("node {node} lies at {position:?}: every coordinate must be a finite number of metres")]
    Position {
        /// Node.
        node: usize,
        /// Its position, m.
        position: [f64; 3],
    },
    /// A member, link, support or load names a node that is not there.
    #[error("{what} {index} names node {node}, but there are {nodes}")]
    NoSuchNode {
        /// "member", "rigid link", "support", "load" …
        what: &'static str,
        /// Its index in its list.
        index: usize,
        /// Node named.
        node: usize,
        /// How many nodes there are.
        nodes: usize,
    },
    /// Both ends of a member are one place.
    #[error(
        "member {member} from node {i} to node {j} is {length} m long: its ends must lie apart"
    )]
    NoLength {
        /// Member.
        member: usize,
        /// Node at its beginning.
        i: usize,
        /// Node at its end.
        j: usize,
        /// Length, m.
        length: f64,
    },
    /// Two members between the same two nodes.
    #[error("members {first} and {member} both join nodes {i} and {j}: take one away")]
    Duplicate {
        /// The later member.
        member: usize,
        /// The earlier one.
        first: usize,
        /// Node at its beginning.
        i: usize,
        /// Node at its end.
        j: usize,
    },
    /// A number of a member is out of range.
    #[error("the {what} of member {member} is {value}: it must be {range}")]
    MemberNumber {
        /// Member.
        member: usize,
        /// Which number.
        what: &'static str,
        /// Its value, SI.
        value: f64,
        /// What it must be.
        range: &'static str,
    },
    /// A node is the slave of two links.
    #[error(
        "node {node} is carried by rigid links {first} and {link}: a node can be carried by one"
    )]
    SlaveTwice {
        /// Node.
        node: usize,
        /// The earlier link.
        first: usize,
        /// The later link.
        link: usize,
    },
    /// A rigid link comes back to where it began.
    #[error(
        "rigid link {link} carries node {node} by itself: the chain of links must end at a node of the frame"
    )]
    LinkCycle {
        /// Link.
        link: usize,
        /// Node.
        node: usize,
    },
    /// Two supported nodes on one rigid piece.
    #[error(
        "nodes {first} and {node} are held, but rigid links make them one piece: hold one of them"
    )]
    HeldTwice {
        /// The earlier node.
        first: usize,
        /// The later node.
        node: usize,
    },
    /// The frame no longer has the members, links or supports that the kept structure was made for.
    #[error("the frame's members, pins, links or nodes have changed: make its structure again")]
    StructureChanged,
    /// A stiffness is too large for a number.
    #[error(
        "the stiffness of member {member} ({stiffness}) is beyond what can be computed: check its sizes and its modulus"
    )]
    Stiffness {
        /// Member.
        member: usize,
        /// Its stiffness, N/m or N·m.
        stiffness: f64,
    },
    /// The equations could not be factored.
    #[error(
        "the equations of the frame ({freedoms} freedoms) cannot be solved: its stiffnesses lie too far apart"
    )]
    Factor {
        /// Number of freedoms.
        freedoms: usize,
    },
}

/// Why a load has no answer.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SolveError {
    /// The frame itself is wrong.
    #[error(transparent)]
    Frame(#[from] FrameError),
    /// A load's number is not finite.
    #[error("load {load} at node {node} is {value}: it must be a finite number")]
    Load {
        /// Load.
        load: usize,
        /// Its node.
        node: usize,
        /// The number.
        value: f64,
    },
    /// A force on a node that no member holds.
    #[error("load {load} acts at node {node}, which no member reaches")]
    BareNode {
        /// Load.
        load: usize,
        /// Node.
        node: usize,
    },
    /// A moment on a node where only pinned ends meet.
    #[error(
        "load {load} has a moment of {moment} N·m at node {node}, where only pinned ends meet: nothing can take it"
    )]
    MomentOnPin {
        /// Load.
        load: usize,
        /// Node.
        node: usize,
        /// Moment, N·m.
        moment: f64,
    },
    /// The load moves the frame where nothing resists.
    #[error("the frame is free to move under this load: {0}")]
    Free(Box<FreeMotions>),
    /// The answer does not satisfy the equations.
    #[error(
        "the answer leaves {residual:e} of the load unbalanced: the frame's stiffnesses lie too far apart"
    )]
    Inaccurate {
        /// Unbalanced part over the load.
        residual: f64,
    },
    /// A test point is not usable.
    #[error(
        "the {what} points (nodes {left} and {right}) are {apart} m apart across the car: the left one must be to the left"
    )]
    Points {
        /// Which pair.
        what: &'static str,
        /// Left node.
        left: usize,
        /// Right node.
        right: usize,
        /// Left y less right y, m.
        apart: f64,
    },
    /// A number asked with is not usable.
    #[error("{what} is {value}: it must be {range}")]
    Number {
        /// Which number.
        what: &'static str,
        /// Its value.
        value: f64,
        /// What it must be.
        range: &'static str,
    },
    /// The test moves nothing: its points are held or not stiff at all.
    #[error("the test moves its points by {deflection}: no stiffness can be told")]
    NoDeflection {
        /// Twist, rad, or deflection, m, per unit load.
        deflection: f64,
    },
    /// A frame that is held nowhere needs three nodes to be held at.
    #[error(
        "the frame has no three nodes on separate rigid pieces and off one line: name its supports"
    )]
    NowhereToHold,
    /// No rigid acceleration balances the loads.
    #[error(
        "the masses ({mass} kg) cannot balance the loads: {force} N and {moment} N·m are left; masses must lie in at least three places, not all on a line"
    )]
    NoBalance {
        /// Sum of the masses, kg.
        mass: f64,
        /// Force left, N.
        force: f64,
        /// Moment left, N·m.
        moment: f64,
    },
}
