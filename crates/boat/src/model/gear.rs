//! What the equipment rules of an authority count a thing as.

/// What a kit line or an item counts as where a rule asks what is aboard, as the key `counts_as` says it.
///
/// A rule asks for one of these by name. That is why it is said in the file and never guessed from the words of a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Gear {
    /// A lifejacket for an adult.
    LifejacketAdult,
    /// A lifejacket for a child; the weights that it fits are said beside it.
    LifejacketChild,
    /// A lifebuoy, ring or horseshoe; also what may be thrown to a person in the water.
    Lifebuoy,
    /// A light on a lifebuoy that lights by itself.
    LifebuoyLight,
    /// A floating line of 15 m or more on a lifebuoy.
    LifebuoyLine15,
    /// A floating line of 30 m or more on a lifebuoy.
    LifebuoyLine30,
    /// A floating heaving line of 15 m or more.
    HeavingLine15,
    /// A floating heaving line of 30 m or more.
    HeavingLine30,
    /// A harness with tackle to lift a person out of the water.
    LiftingHarness,
    /// A ladder or step by which one comes back aboard from the water.
    Reboarding,
    /// A rocket flare with a parachute, type A.
    FlareRocket,
    /// A flare that throws several stars, type B.
    FlareStars,
    /// A flare that is held in the hand, type C.
    FlareHand,
    /// A smoke signal, type D.
    FlareSmoke,
    /// A watertight torch.
    Torch,
    /// An electric distress light.
    DistressLight,
    /// An orange distress flag.
    DistressFlag,
    /// A distress beacon of the boat, 406 MHz.
    Epirb,
    /// A distress beacon worn by a person, 406 MHz.
    Plb,
    /// A marine VHF or other two-way radio.
    Radio,
    /// A fire extinguisher marked 5B:C.
    Extinguisher5bc,
    /// A fire extinguisher marked 10B:C.
    Extinguisher10bc,
    /// A fire extinguisher marked 20B:C or more.
    Extinguisher20bc,
    /// A fixed fire extinguishing system in the engine space.
    FixedFireSystem,
    /// An axe.
    Axe,
    /// A bucket of 10 L or more.
    Bucket10,
    /// A power fire pump with hose.
    FirePump,
    /// An anchor with 15 m or more of cable, rope or chain.
    Anchor15,
    /// An anchor with 30 m or more of cable, rope or chain.
    Anchor30,
    /// An anchor with 50 m or more of cable, rope or chain.
    Anchor50,
    /// Oars, paddles or another way to move the boat by hand.
    ManualPropulsion,
    /// A bailer.
    Bailer,
    /// A bilge pump worked by hand.
    BilgePumpManual,
    /// A fixed arrangement that pumps the bilge.
    BilgePumping,
    /// A device that makes an efficient sound signal, such as a fog horn.
    SoundDevice,
    /// A sound signal as the collision regulations describe it: a whistle.
    Whistle,
    /// A bell.
    Bell,
    /// A magnetic compass.
    Compass,
    /// Navigation lights.
    NavigationLights,
    /// A radar reflector.
    RadarReflector,
    /// A copy of the navigation rules.
    NavigationRules,
    /// A placard about garbage.
    GarbagePlacard,
    /// A placard about oil.
    OilPlacard,
    /// A written plan for garbage.
    WastePlan,
    /// An engine that is built in.
    InboardEngine,
    /// A fixed fuel tank.
    FixedFuelTank,
    /// A cooker, heater or refrigerator that burns fuel.
    FuelAppliance,
}

impl Gear {
    /// All, in the order in which the format lists their words.
    pub const ALL: [Self; 47] = [
        Self::LifejacketAdult,
        Self::LifejacketChild,
        Self::Lifebuoy,
        Self::LifebuoyLight,
        Self::LifebuoyLine15,
        Self::LifebuoyLine30,
        Self::HeavingLine15,
        Self::HeavingLine30,
        Self::LiftingHarness,
        Self::Reboarding,
        Self::FlareRocket,
        Self::FlareStars,
        Self::FlareHand,
        Self::FlareSmoke,
        Self::Torch,
        Self::DistressLight,
        Self::DistressFlag,
        Self::Epirb,
        Self::Plb,
        Self::Radio,
        Self::Extinguisher5bc,
        Self::Extinguisher10bc,
        Self::Extinguisher20bc,
        Self::FixedFireSystem,
        Self::Axe,
        Self::Bucket10,
        Self::FirePump,
        Self::Anchor15,
        Self::Anchor30,
        Self::Anchor50,
        Self::ManualPropulsion,
        Self::Bailer,
        Self::BilgePumpManual,
        Self::BilgePumping,
        Self::SoundDevice,
        Self::Whistle,
        Self::Bell,
        Self::Compass,
        Self::NavigationLights,
        Self::RadarReflector,
        Self::NavigationRules,
        Self::GarbagePlacard,
        Self::OilPlacard,
        Self::WastePlan,
        Self::InboardEngine,
        Self::FixedFuelTank,
        Self::FuelAppliance,
    ];

    /// The word for it in a file.
    pub fn word(self) -> &'static str {
        crate::format::GEAR[self as usize]
    }

    /// The one of a word.
    pub fn find(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|gear| gear.word() == word)
    }
}
