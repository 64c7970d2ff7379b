//! The vehicle that tows the trailer, or carries the rig in its bed.

use super::fact::{Amount, Flag, Text};
use super::form::{Shape::*, form};
use super::takeoff::Size;
use crate::measure::Measure::*;

form! {
    /// The truck or van that tows the trailer, or carries the rig in its bed.
    Vehicle "vehicle" {
        /// What it is, in the shop's words.
        name "name": Text = Text, "three-quarter ton pickup";
        /// Gross vehicle weight rating, GVWR, from the door label.
        gross_rating "gross-rating": Amount = Amount(Mass), "9900 lb";
        /// Gross combined weight rating, GCWR.
        combined_rating "combined-rating": Amount = Amount(Mass), "18000 lb";
        /// Heaviest trailer its maker lets it tow.
        tow_rating "tow-rating": Amount = Amount(Mass), "7500 lb";
        /// Cargo and people its label allows.
        payload "payload": Amount = Amount(Mass), "3400 lb";
        /// Front axle.
        front_axle "front-axle": VehicleAxle = Group(VehicleAxle::FORM), "{ empty: 3800 lb, rating: 5200 lb }";
        /// Rear axle.
        rear_axle "rear-axle": VehicleAxle = Group(VehicleAxle::FORM), "{ empty: 2700 lb, rating: 6200 lb }";
        /// Front axle to rear axle.
        wheelbase "wheelbase": Amount = Amount(Length), "158 in";
        /// Rear axle to the hitch ball.
        overhang "overhang": Amount = Amount(Length), "52 in";
        /// Height of the balance point above the ground, empty.
        balance_height "balance-height": Amount = Amount(Length), "30 in";
        /// Tire centre to tire centre across the rear axle.
        track "track": Amount = Amount(Length), "68 in";
        /// Height of the hitch ball above the ground.
        ball_height "ball-height": Amount = Amount(Length), "18 in";
        /// Diameter of the hitch ball.
        ball "ball": Amount = Amount(Length), "2 in";
        /// Gross trailer weight stamped on the ball.
        ball_rating "ball-rating": Amount = Amount(Mass), "6000 lb";
        /// The receiver.
        receiver "receiver": Receiver = Group(Receiver::FORM), "{ trailer: 6000 lb, tongue: 600 lb }";
        /// Trailer brake controller in the cab.
        brake_controller "brake-controller": Flag = Flag, "yes";
        /// People in the cab.
        people "people": People = Group(People::FORM), "{ weight: 380 lb, from-front-axle: 62 in }";
        /// Gear carried in the vehicle beside the rig.
        gear "gear": Gear = Group(Gear::FORM), "{ weight: 150 lb, from-front-axle: 130 in }";
        /// The bed, where it carries the rig.
        bed "bed": Bed = Group(Bed::FORM), "{ inside: 97 in x 65 in x 21 in, from-front-axle: 108 in, floor-height: 32 in }";
    }
}

form! {
    /// One axle of the vehicle.
    VehicleAxle "vehicle-axle" {
        /// Scale weight with a full fuel tank, nobody in it, no trailer.
        empty "empty": Amount = Amount(Mass), "3800 lb";
        /// Gross axle weight rating, GAWR.
        rating "rating": Amount = Amount(Mass), "5200 lb";
    }
}

form! {
    /// What the receiver is rated for.
    Receiver "receiver" {
        /// Gross trailer weight, weight-carrying.
        trailer "trailer": Amount = Amount(Mass), "6000 lb";
        /// Tongue load, weight-carrying.
        tongue "tongue": Amount = Amount(Mass), "600 lb";
        /// A weight-distributing hitch is used.
        distributing "distributing": Flag = Flag, "no";
        /// Gross trailer weight with the weight-distributing hitch.
        distributing_trailer "distributing-trailer": Amount = Amount(Mass), "10000 lb";
        /// Tongue load with the weight-distributing hitch.
        distributing_tongue "distributing-tongue": Amount = Amount(Mass), "1000 lb";
    }
}

form! {
    /// The people in the cab.
    People "people" {
        /// All of them together.
        weight "weight": Amount = Amount(Mass), "380 lb";
        /// Front axle to where they sit.
        from_front_axle "from-front-axle": Amount = Offset(Length), "62 in";
        /// Height of their balance point above the ground.
        height "height": Amount = Amount(Length), "44 in";
    }
}

form! {
    /// Other gear in the vehicle.
    Gear "gear" {
        /// All of it together.
        weight "weight": Amount = Amount(Mass), "150 lb";
        /// Front axle to its middle.
        from_front_axle "from-front-axle": Amount = Offset(Length), "130 in";
        /// Height of its balance point above the ground.
        height "height": Amount = Amount(Length), "46 in";
    }
}

form! {
    /// The bed of a truck that carries the rig.
    Bed "bed" {
        /// Length, width between the walls and height of the rail.
        inside "inside": Size = Size, "97 in x 65 in x 21 in";
        /// Front axle to the inside of the bed's front wall.
        from_front_axle "from-front-axle": Amount = Amount(Length), "108 in";
        /// Bed floor above the ground.
        floor_height "floor-height": Amount = Amount(Length), "32 in";
    }
}
