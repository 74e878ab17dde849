//! Long calculations, away from the page's own thread. The page side ([`worker`]) sends bytes and gets bytes; the worker side
//! ([`worker_side`]) computes them.

mod computing;
pub(crate) mod protocol;
pub(crate) mod worker;
pub(crate) mod worker_side;
