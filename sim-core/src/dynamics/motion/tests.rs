use super::*;

/// A body of this mass with a steady load.
struct Driven;

const LOAD: Wrench = Wrench {
    force_body: Vector3::new(3.0, -2.0, -9.0),
    moment_body: Vector3::new(0.03, 0.02, -0.04),
};

impl Airframe for Driven {
    fn mass_kg(&self) -> f64 {
        0.8
    }

    fn inertia_body(&self) -> Matrix3<f64> {
        Matrix3::from_diagonal(&Vector3::new(0.02, 0.03, 0.045))
    }

    fn loads(&self, _: &AirState, _: &Controls) -> Wrench {
        LOAD
    }
}

fn state() -> FlightState {
    FlightState {
        position_ned: Vector3::new(3.0, -4.0, -20.0),
        velocity_body: Vector3::new(12.0, 1.0, -0.5),
        attitude: UnitQuaternion::from_euler_angles(0.4, -0.3, 1.2),
        rates_body: Vector3::zeros(),
    }
}

/// Height counts from the ground, wind from the velocity over it.
#[test]
fn an_aircraft_meets_the_air_over_the_ground() {
    let wind_ned = Vector3::new(3.0, -2.0, 0.5);
    let air =
        Air { ground_m: Some(7.0), ..Air::still(&Atmosphere::sea_level()).with_wind(wind_ned) };
    let met = air.met_by(&state());
    assert_eq!(met.height_m, Some(13.0));
    let relative_ned = state().attitude * met.velocity_body;
    assert!((relative_ned - (state().velocity_ned() - wind_ned)).norm() < 1e-12);
}

/// Newton by hand, without rates: load and other load alike over mass and inertia,
/// weight beside; an accelerometer feels all but the weight.
#[test]
fn a_load_from_elsewhere_counts_like_the_air_s() {
    let air = Air::still(&Atmosphere::sea_level());
    let motion = Motion::new(&Driven, air.density_kg_m3).unwrap();
    let other = Wrench {
        force_body: Vector3::new(-1.0, 4.0, 2.0),
        moment_body: Vector3::new(0.01, -0.05, 0.02),
    };
    let (rate, found) = motion
        .state_rate_and_acceleration(&state().to_vector(), &Controls::default(), &air, &other)
        .unwrap();
    let felt = Vector3::new(2.0, 2.0, -7.0) / 0.8;
    let weight = state().attitude.inverse() * Vector3::new(0.0, 0.0, GRAVITY_M_S2);
    assert!((found.felt_body - felt).norm() < 1e-12);
    assert!((found.velocity_body_rate - felt - weight).norm() < 1e-12);
    let turning = Vector3::new(0.04 / 0.02, -0.03 / 0.03, -0.02 / 0.045);
    assert!((found.rates_body_rate - turning).norm() < 1e-12);
    assert!((rate.fixed_rows::<3>(0) - state().velocity_ned()).norm() < 1e-12);
    assert_eq!(rate.fixed_rows::<3>(3), found.velocity_body_rate);
    assert_eq!(rate.fixed_rows::<3>(10), found.rates_body_rate);
}

/// Newton and Euler by components: turning in a wind an accelerometer still feels the
/// load over the mass; body axes turn under the velocity over ground; and
/// `I dw/dt + w x I w` is the moment.
#[test]
fn turning_changes_the_components_by_newton_and_euler() {
    let wind_ned = Vector3::new(3.0, -2.0, 0.5);
    let air = Air::still(&Atmosphere::sea_level()).with_wind(wind_ned);
    let motion = Motion::new(&Driven, air.density_kg_m3).unwrap();
    let (p, q, r) = (1.5, -0.8, 0.6);
    let state = FlightState { rates_body: Vector3::new(p, q, r), ..state() };
    let found = motion.acceleration(&state, &LOAD, &air).unwrap();
    let felt = LOAD.force_body / 0.8;
    assert!((found.felt_body - felt).norm() < 1e-12);
    let (u, v, w) = (state.velocity_body.x, state.velocity_body.y, state.velocity_body.z);
    let carried = Vector3::new(q * w - r * v, r * u - p * w, p * v - q * u);
    let weight = state.attitude.inverse() * Vector3::new(0.0, 0.0, GRAVITY_M_S2);
    assert!((found.velocity_body_rate - (felt + weight - carried)).norm() < 1e-12);
    let turning = Vector3::new(
        (0.03 - (0.045 - 0.03) * q * r) / 0.02,
        (0.02 - (0.02 - 0.045) * r * p) / 0.03,
        (-0.04 - (0.03 - 0.02) * p * q) / 0.045,
    );
    assert!((found.rates_body_rate - turning).norm() < 1e-12);
}
