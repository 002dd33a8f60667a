//! Floor 1: numerical methods that know no physics. [`elementary`] is the only door to
//! transcendental functions; [`dense`] holds complex blocks; [`order`] sorts; [`splitmix`] draws; [`root`], [`minimise`] and [`quadrature`] are built on plain closures.

pub mod dense;
pub mod elementary;
pub mod jacobi;
pub mod lanes;
pub mod local_fit;
pub mod minimise;
pub mod order;
pub mod quadrature;
pub mod refined_curve;
pub mod root;
pub mod splitmix;
pub mod vector_sine;
