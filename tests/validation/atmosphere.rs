//! Standard atmosphere.
//!
//! Source: ISO 2533:1975; ICAO Doc 7488/3, 1993. Constants from memory of the
//! standard, rows worked out from them by hand.
//! Compared: temperature, pressure, density, speed of sound, viscosity.
//! Tolerance: 0.02 %, the rounding of the gas constant among printed tables;
//! viscosity 0.1 %, the rounding of Sutherland's constants.

use fledge_tests::check_relative;
use sim_core::atmosphere::Atmosphere;

#[test]
fn rows_of_the_standard() {
    for (height_m, temperature, pressure, density, sound, viscosity) in [
        (0.0, 288.150, 101_325.0, 1.22500, 340.294, 1.7894e-5),
        (500.0, 284.900, 95_460.8, 1.16727, 338.369, 1.7737e-5),
        (1000.0, 281.650, 89_874.6, 1.11164, 336.434, 1.7578e-5),
        (3000.0, 268.650, 70_108.5, 0.90912, 328.578, 1.6937e-5),
    ] {
        let air = Atmosphere::standard(height_m).unwrap();
        check_relative("temperature", air.temperature_k, temperature, 2e-4);
        check_relative("pressure", air.pressure_pa, pressure, 2e-4);
        check_relative("density", air.density_kg_m3, density, 2e-4);
        check_relative("speed of sound", air.speed_of_sound_m_s, sound, 2e-4);
        check_relative("viscosity", air.dynamic_viscosity_pa_s, viscosity, 1e-3);
        check_relative("kinematic", air.kinematic_viscosity_m2_s, viscosity / density, 1.1e-3);
    }
    assert_eq!(Atmosphere::sea_level(), Atmosphere::standard(0.0).unwrap());
}
