//! Floor 2: the physics, in normalised quantities, one phenomenon a file. Flux is in flux quanta,
//! current in the mean critical current of the junctions (or in the largest, where the file says
//! so), lengths in the width of the junction. Must not know SI units or JSON.

pub mod diffraction;
pub mod flux_locked_loop;
pub mod interference;
pub mod inverse_profile;
pub mod langevin;
pub mod long_junction;
pub mod loop_sweep;
pub mod penetration;
pub mod rf_loop;
pub mod rf_readout;
pub mod running;
pub mod screened_loop;
pub mod sensor;
pub mod shunted_loop;
pub mod simple_picture;
pub mod thermal;
pub mod underdamped;
pub mod weak_noise;
