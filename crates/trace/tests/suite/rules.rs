//! Rules that the demo boats do not try, each on a boat of a few lines.

use boat::model::{Boat, Who};
use trace::{Ask, Case, Cause, Next, Rates, Reply, Terms, Told, hope};

const HEAD: &str = r#"
becket = 1
[boat]
name = "Wader"
hull = "monohull"
model = "10 m sloop"
rig = "sloop"
length = "10 m"
beam = "3 m"
draught = "1.5 m"
berths = 4
[places.saloon]
name = "Saloon"
level = "below"
aft = "5 m"
long = "3 m"
wide = "2 m"
[items.panel]
name = "Panel"
place = "saloon"
[items.pump]
name = "Pump"
place = "saloon"
[controls.main]
name = "Main switch"
item = "panel"
positions = ["off", "on"]
rest = "off"
[controls.pump_switch]
name = "Pump switch"
item = "pump"
positions = ["off", "on"]
rest = "off"
[states.tank]
name = "Tank"
item = "pump"
values = ["full", "empty"]
rest = "full"
tell = { full = "The gauge shows water.", empty = "The gauge is at nothing." }
[conditions.live]
name = "The panel is live."
when = "main is on"
items = ["panel"]
symptom = "The panel is dead."
look = "Its lamp is lit."
[conditions.pumps]
name = "The pump gives water."
when = "live and pump_switch is on and tank is full"
items = ["pump"]
symptom = "No water."
[procedures.power]
name = "Give current"
goal = "live"
leaves = ["main is on"]
steps = [{ set = "main", to = "on" }]
[procedures.water]
name = "Put water on the taps"
after = ["power"]
goal = "pumps"
leaves = ["pump_switch is on"]
steps = [{ set = "pump_switch", to = "on" }]
[procedures.gas_drill]
name = "Smell of gas"
emergency = true
goal = "always"
steps = [{ look = "Everybody is on deck." }]
"#;

fn made(more: &str) -> Boat {
    let compiled = boat::compile("wader.toml", &format!("{HEAD}{more}"));
    assert!(compiled.boat.is_some(), "{:?}", compiled.diagnostics);
    compiled.boat.unwrap()
}

fn open<'b>(boat: &'b Boat, symptom: &str, who: Who) -> Case<'b> {
    let symptoms = trace::symptoms(boat);
    let at = trace::by_id(&symptoms, symptom).unwrap();
    Case::open(boat, &Rates::of(boat), &symptoms[at], Terms::new(who)).unwrap()
}

fn knows(case: &Case<'_>, what: Cause) -> bool {
    case.suspects().iter().any(|suspect| suspect.cause == what && suspect.chance > 0.0)
}

#[test]
fn she_should_stand_as_after_the_list_and_those_before_it() {
    let boat = made("");
    let hope = hope(&boat, boat.condition("pumps").unwrap());
    assert_eq!(hope.followed, boat.procedure("water"));
    for id in ["main", "pump_switch"] {
        let var = boat.var(id).unwrap();
        let at = boat.vars.ids().position(|other| other == var).unwrap();
        assert_eq!(boat.vars[var].values[usize::from(hope.values[at].0)], "on", "{id}");
        assert!(hope.touched[at], "{id} was set by a list");
    }
    let tank = boat.vars.ids().position(|other| Some(other) == boat.var("tank")).unwrap();
    assert!(!hope.touched[tank], "the tank is as it always is");
}

#[test]
fn what_a_list_looks_for_has_come_about() {
    let boat = made(
        r#"
[states.tap]
name = "Tap"
item = "pump"
values = ["dry", "runs"]
rest = "dry"
[conditions.flows]
name = "The tap runs."
when = "pumps and tap is runs"
symptom = "The tap does not run."
[procedures.open_tap]
name = "Open the tap"
after = ["water"]
goal = "flows"
leaves = ["tap is runs"]
steps = [{ look = "Water comes.", confirm = "tap is runs" }]
"#,
    );
    let hope = hope(&boat, boat.condition("flows").unwrap());
    assert_eq!(hope.followed, boat.procedure("open_tap"));
    let tap = boat.vars.ids().position(|other| Some(other) == boat.var("tap")).unwrap();
    assert_eq!(hope.values[tap].0, 1);
}

#[test]
fn a_control_that_a_dangerous_fault_means_is_for_the_base() {
    let boat = made(
        r#"
[faults.main_off]
name = "The main switch has jumped off"
item = "panel"
seen = "Dark."
per_year = 0.5
means = "main is off"
check = "Look."
danger = "mains"
source = "judgement"
"#,
    );
    let case = open(&boat, "pumps", Who::Crew);
    let main = Ask::Position(boat.var("main").unwrap());
    assert_eq!(main.who(&boat, case.hope()), Some(Who::Base));
    assert!(case.choices().iter().all(|step| step.ask != main));
    let base = open(&boat, "pumps", Who::Base);
    assert!(base.choices().iter().any(|step| step.ask == main));
}

#[test]
fn an_emergency_that_was_found_ends_the_questions() {
    let boat = made(
        r#"
[faults.leak]
name = "Gas leaks at the pump"
item = "pump"
seen = "A smell."
per_year = 1.0
check = "Smell."
mend = "Shut it."
emergency = "gas_drill"
source = "judgement"
"#,
    );
    let mut case = open(&boat, "pumps", Who::Crew);
    let fault = boat.fault("leak").unwrap();
    assert_eq!(case.watch_for(0.01).map(|(found, _)| found), Some(fault));
    case.tell(Told { ask: Ask::Fault(fault), reply: Reply::Yes });
    assert_eq!(case.next(), Next::Emergency(boat.procedure("gas_drill").unwrap()));
}

#[test]
fn a_fault_stops_what_it_says_and_nothing_else() {
    let boat = made(
        r#"
[faults.blown]
name = "A fuse has blown"
item = "panel"
seen = "Dark."
per_year = 0.5
stops = ["pumps"]
check = "Look."
source = "judgement"
[faults.air]
name = "Air in the pump"
item = "pump"
seen = "It spits."
per_year = 0.5
stops = []
check = "Listen."
source = "judgement"
"#,
    );
    let blown = Cause::Fault(boat.fault("blown").unwrap());
    let air = Cause::Fault(boat.fault("air").unwrap());
    assert!(knows(&open(&boat, "pumps", Who::Base), blown));
    assert!(!knows(&open(&boat, "live", Who::Base), blown), "it does not stop the panel");
    assert!(!knows(&open(&boat, "pumps", Who::Base), air), "it stops nothing");
}

#[test]
fn a_fault_that_is_a_states_value_may_stop_more_than_that_state_does() {
    let boat = made(
        r#"
[states.bank]
name = "Bank"
item = "panel"
values = ["charged", "flat"]
rest = "charged"
[conditions.lamp]
name = "The lamp shines."
when = "live"
symptom = "The lamp is dark."
[faults.bank_flat]
name = "The bank is flat"
item = "panel"
seen = "Dim."
per_year = 2.0
means = "bank is flat"
stops = ["lamp"]
check = "Read the meter."
source = "judgement"
"#,
    );
    let case = open(&boat, "lamp", Who::Base);
    assert!(knows(&case, case.cause_of(boat.fault("bank_flat").unwrap())));
    assert!(!knows(&open(&boat, "live", Who::Base), case.cause_of(boat.fault("bank_flat").unwrap())));
}
