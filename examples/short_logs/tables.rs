//! The tables of the short logs: task types, prices, clients, findings, kinds of job and words. Nothing is drawn here.
//!
//! Every time and price is common practice, from memory, with no source. All people and places are invented.

#[derive(Clone, Copy, PartialEq)]
pub enum Unit {
    Each,
    Job,
    Metre,
    Circuit,
}

/// A task type: minutes a unit on a good day, usually, and on a plain bad one; and where it is slower.
pub struct Task {
    pub key: &'static str,
    pub unit: Unit,
    pub low: f64,
    pub usual: f64,
    pub high: f64,
    pub slower: &'static [&'static str],
}

pub const fn task(
    key: &'static str,
    unit: Unit,
    minutes: [u32; 3],
    slower: &'static [&'static str],
) -> Task {
    Task {
        key,
        unit,
        low: minutes[0] as f64,
        usual: minutes[1] as f64,
        high: minutes[2] as f64,
        slower,
    }
}

pub const FLAT: &str = "rented-flat";
pub const HOUSE: &str = "family-house";
pub const LET: &str = "holiday-let";
pub const COTTAGE: &str = "stone-cottage";
pub const BOATS: &str = "boat-shed";
pub const FARM: &str = "smallholding";
pub const HALL: &str = "village-hall";
pub const SHOP: &str = "shop";

#[rustfmt::skip]
pub const TASKS: [Task; 24] = [
    task("fault-finding", Unit::Job, [30, 75, 240], &[COTTAGE, BOATS, FARM]),
    task("fan-isolator", Unit::Each, [30, 50, 90], &[FLAT, COTTAGE]),
    task("extractor-fan", Unit::Each, [45, 75, 150], &[COTTAGE, FLAT]),
    task("downlight", Unit::Each, [15, 25, 50], &[COTTAGE, FLAT]),
    task("light-fitting", Unit::Each, [15, 25, 60], &[HALL, BOATS]),
    task("emergency-light", Unit::Each, [25, 40, 75], &[HALL]),
    task("outside-light", Unit::Each, [45, 75, 150], &[COTTAGE, FARM]),
    task("socket", Unit::Each, [15, 20, 40], &[COTTAGE]),
    task("new-socket", Unit::Each, [60, 90, 180], &[COTTAGE, SHOP]),
    task("fused-spur", Unit::Each, [30, 45, 90], &[SHOP, LET]),
    task("shower-isolator", Unit::Each, [30, 45, 90], &[FLAT]),
    task("electric-shower", Unit::Each, [75, 110, 200], &[FLAT, LET]),
    task("consumer-unit", Unit::Each, [300, 420, 600], &[COTTAGE, FARM]),
    task("breaker-change", Unit::Each, [15, 25, 45], &[HALL]),
    task("main-bonding", Unit::Each, [45, 90, 180], &[COTTAGE, HOUSE]),
    task("smoke-alarm", Unit::Each, [25, 40, 80], &[HALL, COTTAGE]),
    task("armoured-run", Unit::Metre, [4, 8, 20], &[FARM, BOATS]),
    task("outbuilding-supply", Unit::Job, [240, 420, 720], &[FARM]),
    task("shore-point", Unit::Each, [45, 75, 150], &[BOATS]),
    task("car-point", Unit::Each, [240, 330, 480], &[HOUSE, LET]),
    task("condition-report", Unit::Circuit, [12, 20, 40], &[SHOP, FARM, COTTAGE]),
    task("test-and-certify", Unit::Job, [20, 35, 75], &[SHOP, HALL]),
    task("heating-control", Unit::Each, [40, 75, 150], &[LET, HOUSE]),
    task("immersion-heater", Unit::Each, [45, 70, 120], &[LET, COTTAGE]),
];

/// The price book: item, unit, cost in pence.
#[rustfmt::skip]
pub const PRICES: [(&str, &str, i64); 36] = [
    ("Twin and earth cable 1.5 mm2", "m", 60),
    ("Twin and earth cable 2.5 mm2", "m", 95),
    ("Twin and earth cable 6 mm2", "m", 230),
    ("Twin and earth cable 10 mm2", "m", 390),
    ("Three-core and earth cable 1.5 mm2", "m", 95),
    ("Heat-resisting flex 1.5 mm2 three-core", "m", 120),
    ("Armoured cable 4 mm2 three-core", "m", 310),
    ("Armoured cable 6 mm2 three-core", "m", 420),
    ("Armoured gland, outdoor", "", 450),
    ("Earth cable 10 mm2 green-yellow", "m", 160),
    ("Bonding clamp", "", 180),
    ("Junction box, maintenance-free", "", 320),
    ("Lever connector, three-way", "", 35),
    ("Metal back box 25 mm single", "", 70),
    ("Dry-lining box, single", "", 110),
    ("Double switched socket", "", 350),
    ("Weatherproof double socket", "", 1200),
    ("Switched fused connection unit", "", 420),
    ("Fan isolator, three-pole", "", 580),
    ("Pull-cord switch 45 A double-pole", "", 950),
    ("Double-pole switch 20 A with flex outlet", "", 460),
    ("Light switch one-gang two-way", "", 160),
    ("LED downlight, fire-rated, IP65", "", 750),
    ("Lantick fire-rated downlight", "", 890),
    ("Pendant set", "", 220),
    ("LED bulkhead, outside", "", 1800),
    ("LED floodlight 20 W with sensor", "", 1600),
    ("LED batten 1.2 m", "", 1400),
    ("Emergency bulkhead, LED, self-contained", "", 2400),
    ("Extract fan 100 mm with timer", "", 2400),
    ("Smoke alarm, mains, interlinked", "", 2600),
    ("Heat alarm, mains, interlinked", "", 2800),
    ("RCBO single-module", "", 1700),
    ("Consumer unit, metal, 10-way, with surge protection", "", 9500),
    ("Meter tails 25 mm2", "m", 440),
    ("Cable clips, box of 100", "box", 240),
];

pub struct Client {
    pub key: &'static str,
    pub location: &'static str,
    pub role: &'static str,
    /// How often this client's work comes up beside the others'.
    pub share: u32,
    pub miles: u32,
    /// Pence to park, or 0 where parking is free.
    pub parking: u32,
    pub rented: Tenure,
    pub in_writing: &'static str,
    /// Where; an entry without a comma gets a room before it.
    pub places: &'static [&'static str],
}

#[derive(Clone, Copy, PartialEq)]
pub enum Tenure {
    Rented,
    Unsaid,
}

pub const EMAIL: &str = "in person and by email";

#[rustfmt::skip]
pub const CLIENTS: [Client; 13] = [
    Client {
        key: "key-and-linen", location: LET, role: "agent", share: 16, miles: 3, parking: 650, rented: Tenure::Unsaid, in_writing: "by phone and by email",
        places: &["Samphire, 2 Windlass Terrace", "Wherry, 5 Sailmaker Row", "Dabchick, 11 Capstan Rise", "Curlew, 8 Netloft Court", "Turnstone, 30 Windlass Terrace"],
    },
    Client {
        key: "tarrow-slip", location: BOATS, role: "yard manager", share: 11, miles: 4, parking: 0, rented: Tenure::Unsaid, in_writing: EMAIL,
        places: &["Tarrow Slip"],
    },
    Client {
        key: "tolcarne", location: BOATS, role: "owner", share: 5, miles: 11, parking: 0, rented: Tenure::Unsaid, in_writing: "in person and by text",
        places: &["Hard Lane"],
    },
    Client {
        key: "pennick-hall", location: HALL, role: "secretary", share: 9, miles: 9, parking: 0, rented: Tenure::Unsaid, in_writing: EMAIL,
        places: &["Wendle Lane"],
    },
    Client {
        key: "cold-acre", location: FARM, role: "farmer", share: 9, miles: 11, parking: 0, rented: Tenure::Unsaid, in_writing: "in person and by text",
        places: &["Marrow Lane"],
    },
    Client {
        key: "brune", location: FARM, role: "farmer", share: 6, miles: 10, parking: 0, rented: Tenure::Unsaid, in_writing: "in person and by letter",
        places: &["Nettlebed Holding"],
    },
    Client {
        key: "dunnage", location: FLAT, role: "agent", share: 16, miles: 3, parking: 250, rented: Tenure::Rented, in_writing: "by phone and by email",
        places: &["Flat 2, 19 Chandler Street", "Flat 5, 40 Kedge Street", "Flat 1, 7 Fathom Way", "Flat 3, 22 Fathom Way", "Flat 8, 51 Chandler Street"],
    },
    Client {
        key: "veltrow", location: HOUSE, role: "landlord", share: 7, miles: 8, parking: 0, rented: Tenure::Rented, in_writing: EMAIL,
        places: &["12 Pinmill Close", "27 Osier Gardens"],
    },
    Client {
        key: "ormsby-vane", location: HOUSE, role: "owner", share: 9, miles: 9, parking: 0, rented: Tenure::Unsaid, in_writing: EMAIL,
        places: &["9 Sallow Drive"],
    },
    Client {
        key: "skerrow", location: HOUSE, role: "owner", share: 7, miles: 8, parking: 0, rented: Tenure::Unsaid, in_writing: "in person and by letter",
        places: &["6 Thrift Terrace"],
    },
    Client {
        key: "haldrick", location: COTTAGE, role: "owner", share: 9, miles: 13, parking: 0, rented: Tenure::Unsaid, in_writing: "in person and by letter",
        places: &["Quern Cottage"],
    },
    Client {
        key: "tar-pot", location: SHOP, role: "owner", share: 7, miles: 2, parking: 650, rented: Tenure::Unsaid, in_writing: "in person and by text",
        places: &["5 Ropewalk Buildings"],
    },
    Client {
        key: "lanyard-stores", location: SHOP, role: "owner", share: 7, miles: 2, parking: 250, rented: Tenure::Unsaid, in_writing: EMAIL,
        places: &["11 Bollard Street"],
    },
];

/// What a finding's words allow: some were put right that day, some wait for somebody's answer.
#[derive(Clone, Copy, PartialEq)]
pub enum Ends {
    ThatDay,
    Waits,
}

pub struct Found {
    pub what: &'static str,
    pub code: &'static str,
    pub done: &'static str,
    pub ends: Ends,
    pub at: &'static [&'static str],
}

pub const fn found(
    code: &'static str,
    what: &'static str,
    done: &'static str,
    ends: Ends,
    at: &'static [&'static str],
) -> Found {
    Found {
        what,
        code,
        done,
        ends,
        at,
    }
}

pub const ANYWHERE: &[&str] = &[FLAT, HOUSE, LET, COTTAGE, BOATS, FARM, HALL, SHOP];
pub const HOMES: &[&str] = &[FLAT, HOUSE, LET, COTTAGE];

#[rustfmt::skip]
pub const FINDINGS: [Found; 37] = [
    found("C1", "Socket front broken, live parts within reach", "isolated at once, front replaced, told in writing", Ends::ThatDay, &[FLAT, LET, SHOP, HALL]),
    found("C1", "Bare ends behind the cooker, circuit on", "isolated, locked off, terminated properly, retested", Ends::ThatDay, &[HOUSE, LET, SHOP]),
    found("C1", "Blank missing from the board, busbar in reach", "blank fitted before leaving", Ends::ThatDay, &[BOATS, FARM, HALL, SHOP]),
    found("C1", "Metal light body live, cpc broken upstream", "made safe and left off; cpc traced, tested, re-energised", Ends::ThatDay, &[BOATS, FARM, COTTAGE]),
    found("C1", "Lid off the junction box in the loft hatch, live ends at hand height", "isolated, lidded, told occupier", Ends::ThatDay, &[HOUSE, COTTAGE, HALL]),
    found("C1", "Water running through a ceiling light", "isolated, left off until dry and insulation tested", Ends::ThatDay, &[LET, HALL]),
    found("C1", "Shore outlet casing smashed on the pontoon, conductors showing", "locked off at the feeder, yard told, notice left", Ends::ThatDay, &[BOATS]),
    found("C2", "Neutral to earth fault on the quay lights", "disconnected, left off, repair quoted", Ends::Waits, &[BOATS]),
    found("C2", "No main bonding to the incoming gas", "bond run, measured, labelled", Ends::ThatDay, &[HOUSE, FLAT, SHOP]),
    found("C2", "No RCD for sockets likely to feed outdoor tools", "RCBO fitted after checking the circuit", Ends::ThatDay, &[HOUSE, FARM, COTTAGE, BOATS]),
    found("C2", "Ring final open on one leg", "break found, joined, ends measured again", Ends::ThatDay, &[HOUSE, LET, SHOP, FLAT]),
    found("C2", "Sign of burning at a shower isolator", "isolator and ends renewed, load checked", Ends::ThatDay, &[LET, HOUSE]),
    found("C2", "Zs above the published figure for the device", "connections checked, cause put right, retested", Ends::ThatDay, &[HOUSE, SHOP, LET]),
    found("C2", "RCD slow on test", "loads off, tested again, RCD replaced", Ends::ThatDay, &[BOATS, SHOP, HALL]),
    found("C2", "Rod earth reading high and wandering at the farm board", "electrode and clamp renewed, measured on a settled day", Ends::ThatDay, &[FARM]),
    found("C2", "Landing light borrows the downstairs neutral", "circuits identified, separated by test, labelled", Ends::ThatDay, &[HOUSE, COTTAGE]),
    found("C2", "Board fixed on old backboard with open top, vermin in it", "cleaned by agreement, entries closed, change quoted", Ends::Waits, &[FARM]),
    found("C2", "Cable on the barn floor, sheath crushed", "isolated, length replaced, clipped clear", Ends::ThatDay, &[FARM]),
    found("C2", "Single-insulated ends outside the spur box", "re-entered, grommet and clamp fitted", Ends::ThatDay, ANYWHERE),
    found("C2", "Outside light full of water", "disconnected, replaced with a suitable fitting", Ends::ThatDay, &[LET, COTTAGE, FARM, SHOP, BOATS]),
    found("C2", "Fixed heater with no way to switch it off nearby", "isolator fitted", Ends::ThatDay, &[HALL, BOATS, SHOP]),
    found("C2", "30 A device on cable too small for it", "device reduced after design check; owner told", Ends::ThatDay, &[FARM, BOATS, SHOP]),
    found("C2", "Metal conduit used as the only cpc, joints rusty", "continuity measured; new cpc run where it failed", Ends::ThatDay, &[BOATS, HALL]),
    found("C2", "Class I fittings on a lighting circuit with no cpc", "caution label, told in writing, rewire quoted", Ends::Waits, &[COTTAGE, HALL]),
    found("C3", "No RCD for lights in a home, otherwise sound", "advised; done at next board change", Ends::Waits, HOMES),
    found("C3", "No surge protection at the board", "explained; fitted with owner's agreement", Ends::Waits, ANYWHERE),
    found("C3", "Plastic board under the stairs, no sign of heat", "noted; told; change offered", Ends::Waits, HOMES),
    found("C3", "Circuit chart missing", "circuits identified and chart left", Ends::ThatDay, ANYWHERE),
    found("C3", "Old and new colours mixed with no notice", "notice fixed", Ends::ThatDay, ANYWHERE),
    found("C3", "Cpc sleeving missing at switches", "sleeved while open", Ends::ThatDay, ANYWHERE),
    found("C3", "Earth clamp without its label", "label fixed", Ends::ThatDay, ANYWHERE),
    found("FI", "Switch drop outside the expected zones, depth unknown", "route traced with owner's leave", Ends::ThatDay, &[HOUSE, COTTAGE, LET]),
    found("FI", "Circuit feeds something that could not be found", "time quoted to trace it; left labelled", Ends::Waits, &[HALL, FARM, BOATS, SHOP]),
    found("FI", "Insulation low with the appliance fixed in; could not part it", "came back with access to disconnect", Ends::ThatDay, &[SHOP, HOUSE]),
    found("FI", "Suspect asbestos flash guard in an old fuse carrier", "stopped, closed up, owner told to have it sampled", Ends::Waits, &[HALL, BOATS, COTTAGE]),
    found("note", "Timer in the store runs an hour slow", "reset", Ends::ThatDay, &[HALL, BOATS, SHOP]),
    found("note", "Smoke alarm past the date on its base", "told; new alarms quoted", Ends::Waits, HOMES),
];

/// A kind of job: what it is called, what goes with it, what it uses, and what gets scribbled about it.
pub struct Recipe {
    pub task: &'static str,
    /// How many of the 144 logs are of this kind.
    pub jobs: usize,
    pub count: (u32, u32),
    pub at: &'static [&'static str],
    /// What `{room}` may be; none: any room of such a place.
    pub rooms: &'static [&'static str],
    /// For one; `{room}` is filled in.
    pub one: &'static [&'static str],
    /// For more than one; `{N}` and `{n}` are the count in words.
    pub many: &'static [&'static str],
    /// Other tasks: key, how often in a hundred, fewest, most.
    pub with: &'static [(&'static str, u64, u32, u32)],
    /// Item, how many anyway, how many for each unit.
    pub uses: &'static [(&'static str, u32, u32)],
    /// Circuit, device type, rating in amps.
    pub circuit: (&'static str, &'static str, u32),
    /// In a hundred: begun by a call-out; begun by a survey; given a quote.
    pub chances: (u64, u64, u64),
    pub notes: &'static [&'static str],
}

pub const TEST: &str = "test-and-certify";

#[rustfmt::skip]
pub const RECIPES: [Recipe; 23] = [
    Recipe {
        task: "fault-finding", jobs: 12, count: (1, 1),
        at: &[FLAT, HOUSE, LET, COTTAGE, BOATS, FARM, SHOP],
        rooms: &[],
        one: &["Half the sockets gone, {room}", "Lights out and a buzz in the {room}", "Nothing works past the {room}", "RCD will not hold, {room}", "A dead circuit and a warm plate, {room}", "Trips when the kettle goes on, {room}"],
        many: &[],
        with: &[("socket", 45, 1, 2), ("breaker-change", 35, 1, 1), ("fused-spur", 20, 1, 1)],
        uses: &[("Lever connector, three-way", 3, 0), ("Junction box, maintenance-free", 1, 0)],
        circuit: ("Ring", "B", 32),
        chances: (80, 0, 5),
        notes: &["Loose neutral behind the third plate I opened.", "Chewed cable, found it with the third split.", "Went by halves. The half I guessed was the wrong one.", "Screw through the cable from the new shelf. They had not mentioned the shelf.", "Damp in a junction. Dried out, read well, changed it anyway.", "Heard it before I found it."],
    },
    Recipe {
        task: "fan-isolator", jobs: 4, count: (1, 1),
        at: &[HOUSE, LET, COTTAGE],
        rooms: &["utility", "cloakroom", "wash-house", "boot room"],
        one: &["Fan isolator moved out of the {room}", "A fan isolator nobody could reach, {room}"],
        many: &[],
        with: &[("light-fitting", 40, 1, 1), (TEST, 70, 1, 1)],
        uses: &[("Fan isolator, three-pole", 0, 1), ("Three-core and earth cable 1.5 mm2", 2, 1)],
        circuit: ("Lights up", "B", 6),
        chances: (0, 0, 45),
        notes: &["Old one was behind the door, painted in.", "Pattress cracked when I looked at it.", "Long screws, none in the van."],
    },
    Recipe {
        task: "extractor-fan", jobs: 5, count: (1, 2),
        at: &[HOUSE, LET, SHOP, COTTAGE],
        rooms: &["kitchen", "utility", "scullery", "wash-house", "boot room", "back kitchen"],
        one: &["A fan for the {room}", "New extractor, {room}", "The fan in the {room} that only hummed"],
        many: &["{N} fans, {room} and next door"],
        with: &[("fan-isolator", 30, 1, 1), (TEST, 60, 1, 1)],
        uses: &[("Extract fan 100 mm with timer", 0, 1), ("Three-core and earth cable 1.5 mm2", 2, 2)],
        circuit: ("Lights up", "B", 6),
        chances: (10, 0, 55),
        notes: &["Duct had a nest in it, last year's.", "Bearing gone. Same make back in, holes line up.", "Core drill borrowed, wall was not what it looked.", "Timer set to fifteen minutes, showed them the screw."],
    },
    Recipe {
        task: "downlight", jobs: 8, count: (3, 10),
        at: &[HOUSE, LET, COTTAGE],
        rooms: &["kitchen", "lounge", "dining room", "attic room", "snug", "back bedroom"],
        one: &[],
        many: &["{N} downlights, {room}", "{N} downlights and a dimmer, {room}", "{N} for the {room} ceiling"],
        with: &[("light-fitting", 35, 1, 2), (TEST, 65, 1, 1)],
        uses: &[("Lantick fire-rated downlight", 0, 1), ("Twin and earth cable 1.5 mm2", 4, 2), ("Lever connector, three-way", 0, 2)],
        circuit: ("Lights down", "B", 6),
        chances: (0, 15, 75),
        notes: &["First hole took longer than the next three.", "Joist where the plan had a light. Moved it a hand's width.", "Insulation pulled back and laid again after, photo taken.", "They had marked the ceiling in biro. Not where we had said."],
    },
    Recipe {
        task: "light-fitting", jobs: 9, count: (1, 9),
        at: &[FLAT, HOUSE, LET, COTTAGE, HALL, BOATS, SHOP, FARM],
        rooms: &[],
        one: &["A pendant for the {room}", "The light over the {room}"],
        many: &["{N} pendants, {room}", "{N} battens, {room}", "{N} light fittings of theirs, {room}", "{N} pendants and a landing light, {room}"],
        with: &[("socket", 35, 1, 3), ("fused-spur", 15, 1, 1), (TEST, 55, 1, 1)],
        uses: &[("Pendant set", 0, 1), ("Lever connector, three-way", 0, 2)],
        circuit: ("Lights down", "B", 6),
        chances: (8, 0, 60),
        notes: &["Fittings were theirs, and one had no screws.", "Rose full of three generations of joints. Tidied.", "Loop in the rose, so neutral checked twice.", "One came apart in the hand, put the old one back for now."],
    },
    Recipe {
        task: "emergency-light", jobs: 5, count: (2, 7),
        at: &[HALL, SHOP, BOATS],
        rooms: &["stairs", "main floor", "back door", "store", "lobby", "office"],
        one: &[],
        many: &["{N} emergency lights, {room}", "{N} dead batteries over the doors, {room}"],
        with: &[("light-fitting", 40, 1, 4), (TEST, 75, 1, 1)],
        uses: &[("Emergency bulkhead, LED, self-contained", 0, 1), ("Twin and earth cable 1.5 mm2", 3, 1)],
        circuit: ("Emergency lights", "B", 6),
        chances: (0, 20, 80),
        notes: &["Short test done, long one in the book for a quiet week.", "Dated each body in pencil.", "Two on the same wall were never on a charge at all."],
    },
    Recipe {
        task: "outside-light", jobs: 8, count: (1, 4),
        at: &[HOUSE, LET, COTTAGE, FARM, BOATS, SHOP],
        rooms: &["kitchen door", "porch", "back gate", "log store", "steps", "bins"],
        one: &["An outside light by the {room}", "A floodlight past the {room}"],
        many: &["{N} outside lights, {room} side", "{N} floodlights, from the {room} round"],
        with: &[("fused-spur", 30, 1, 1), (TEST, 60, 1, 1)],
        uses: &[("LED bulkhead, outside", 0, 1), ("Twin and earth cable 1.5 mm2", 4, 4)],
        circuit: ("Outside lights", "B", 6),
        chances: (15, 0, 60),
        notes: &["Gland underneath, hole above sealed.", "Sensor saw the lane. Turned it until it did not.", "Granite. Two bits.", "Neighbour asked for it to point down, so it does."],
    },
    Recipe {
        task: "socket", jobs: 7, count: (2, 12),
        at: &[FLAT, HOUSE, LET, COTTAGE, SHOP, HALL, FARM],
        rooms: &[],
        one: &[],
        many: &["{N} socket fronts, {room}", "{N} sockets changed, {room} and through", "{N} cracked sockets, {room}"],
        with: &[("new-socket", 25, 1, 1), ("breaker-change", 20, 1, 2), (TEST, 65, 1, 1)],
        uses: &[("Double switched socket", 0, 1), ("Metal back box 25 mm single", 1, 0)],
        circuit: ("Ring", "B", 32),
        chances: (5, 0, 55),
        notes: &["One back box loose in the plaster, packed.", "Ends stripped too far on all of them. Same hand.", "Furniture moved and moved back.", "Ring measured before and after, no change but one joint."],
    },
    Recipe {
        task: "new-socket", jobs: 8, count: (1, 4),
        at: &[HOUSE, LET, COTTAGE, SHOP, BOATS, FLAT, FARM],
        rooms: &[],
        one: &["A socket where the {room} has none", "One more socket, {room}"],
        many: &["{N} new sockets, {room}", "{N} extra sockets along the {room}"],
        with: &[("socket", 30, 1, 3), (TEST, 85, 1, 1)],
        uses: &[("Double switched socket", 0, 1), ("Metal back box 25 mm single", 0, 1), ("Twin and earth cable 2.5 mm2", 3, 5)],
        circuit: ("Ring", "B", 32),
        chances: (0, 10, 75),
        notes: &["Floor up, and there was already a hole for it.", "Trunking, since the wall is not to be cut.", "Chase is theirs to fill, said so.", "Wanted it behind the fridge. It is beside the fridge."],
    },
    Recipe {
        task: "fused-spur", jobs: 5, count: (1, 3),
        at: &[SHOP, LET, HOUSE, HALL, FLAT],
        rooms: &[],
        one: &["A spur for the {room} heater", "A fused spur, {room}"],
        many: &["{N} spurs for the {room}", "{N} fused spurs, {room}"],
        with: &[("socket", 30, 1, 2), (TEST, 60, 1, 1)],
        uses: &[("Switched fused connection unit", 0, 1), ("Twin and earth cable 2.5 mm2", 2, 4)],
        circuit: ("Ring", "B", 32),
        chances: (0, 0, 55),
        notes: &["Fuse to suit the heater, spare left inside.", "Flex was short by a hand.", "Switch labelled, they had been guessing."],
    },
    Recipe {
        task: "shower-isolator", jobs: 4, count: (1, 1),
        at: &[HOUSE, LET],
        rooms: &["landing", "back bedroom", "stairs", "attic"],
        one: &["A pull-cord with the cord gone, {room} end", "Shower isolator by the {room}"],
        many: &[],
        with: &[(TEST, 60, 1, 1)],
        uses: &[("Pull-cord switch 45 A double-pole", 0, 1)],
        circuit: ("Shower", "B", 40),
        chances: (35, 0, 40),
        notes: &["Neon dead, then the switch after it.", "Terminal was finger tight. It had been warm.", "Knot in the cord pulled through the cap."],
    },
    Recipe {
        task: "electric-shower", jobs: 4, count: (1, 1),
        at: &[HOUSE, LET],
        rooms: &["landing", "back bedroom", "stairs", "attic"],
        one: &["Like for like on the shower, {room} side", "A shower that ran cold, {room} side"],
        many: &[],
        with: &[("shower-isolator", 45, 1, 1), (TEST, 90, 1, 1)],
        uses: &[("Twin and earth cable 10 mm2", 3, 0)],
        circuit: ("Shower", "B", 40),
        chances: (15, 0, 70),
        notes: &["Same rating back, cable is what it is.", "Their plumber did the water, I did the rest.", "Entry moved a little, blanked the old."],
    },
    Recipe {
        task: "consumer-unit", jobs: 7, count: (1, 1),
        at: &[HOUSE, COTTAGE, FARM, SHOP, LET],
        rooms: &["hall cupboard", "meter cupboard", "porch", "dairy", "stock room", "stair cupboard", "outhouse"],
        one: &["New board in the {room}", "Board change, {room}", "A board with no way left, {room}"],
        many: &[],
        with: &[(TEST, 100, 1, 1), ("main-bonding", 40, 1, 2), ("breaker-change", 20, 1, 2)],
        uses: &[("Consumer unit, metal, 10-way, with surge protection", 0, 1), ("RCBO single-module", 6, 0), ("Meter tails 25 mm2", 3, 0)],
        circuit: ("Ring", "B", 32),
        chances: (0, 65, 100),
        notes: &["Every circuit tested before it went on the new board. One did not go on.", "Freezer on a lead from next door till four.", "Chart typed and inside the door.", "Notified. Copy in the van and one in the post."],
    },
    Recipe {
        task: "breaker-change", jobs: 4, count: (1, 6),
        at: &[HOUSE, HALL, SHOP, COTTAGE, BOATS, FARM],
        rooms: &["main", "upper", "lower", "old", "back"],
        one: &["One RCBO, {room} board"],
        many: &["{N} RCBOs, {room} board", "{N} devices changed, {room} board"],
        with: &[(TEST, 100, 1, 1), ("fault-finding", 15, 1, 1)],
        uses: &[("RCBO single-module", 0, 1)],
        circuit: ("Sockets", "B", 20),
        chances: (10, 0, 55),
        notes: &["Same maker as the board, took a week to get.", "Neutrals sorted first, two were crossed over.", "All clear each other now, tested one at a time."],
    },
    Recipe {
        task: "main-bonding", jobs: 5, count: (1, 2),
        at: &[HOUSE, COTTAGE, SHOP, FLAT],
        rooms: &["stopcock", "kitchen", "cellar", "utility", "back door"],
        one: &["Bond to the water, {room}", "A bond that had been cut, {room}"],
        many: &["{N} bonds, {room} and the meter"],
        with: &[(TEST, 60, 1, 1), ("fused-spur", 15, 1, 1)],
        uses: &[("Earth cable 10 mm2 green-yellow", 8, 6), ("Bonding clamp", 0, 1)],
        circuit: ("Ring", "B", 32),
        chances: (0, 15, 70),
        notes: &["Measured end to end, clamp labelled.", "Plumber had put plastic in the middle of it.", "Route was round and not through, by agreement."],
    },
    Recipe {
        task: "smoke-alarm", jobs: 7, count: (2, 6),
        at: &[FLAT, HOUSE, LET, COTTAGE, HALL],
        rooms: &["hallway", "stairs", "kitchen", "lobby", "landing"],
        one: &[],
        many: &["{N} interlinked alarms, {room} up", "{N} alarms, from the {room} up", "{N} alarms past their date, {room}"],
        with: &[(TEST, 70, 1, 1), ("socket", 15, 1, 2)],
        uses: &[("Smoke alarm, mains, interlinked", 0, 1), ("Three-core and earth cable 1.5 mm2", 4, 4)],
        circuit: ("Alarms", "B", 6),
        chances: (5, 0, 80),
        notes: &["All sound together. Dog went under the table.", "Dates written on the bases.", "Covers left on till the plasterer has gone, note on the door.", "Heat alarm in the kitchen, smoke elsewhere, as designed."],
    },
    Recipe {
        task: "armoured-run", jobs: 5, count: (14, 42),
        at: &[FARM, BOATS],
        rooms: &["far shed", "back gate", "pump", "old store", "top field"],
        one: &[],
        many: &["{N} metres of armoured to the {room}", "Armoured, {n} metres, along to the {room}"],
        with: &[(TEST, 85, 1, 1), ("outside-light", 25, 1, 2), ("new-socket", 25, 1, 1)],
        uses: &[("Armoured cable 4 mm2 three-core", 2, 1), ("Armoured gland, outdoor", 2, 0)],
        circuit: ("Feed", "C", 16),
        chances: (0, 45, 90),
        notes: &["Nephew pulled, I fed. Paid him.", "Rock at the gate, bar work.", "Armour measured end to end before anything was closed.", "Clipped high, out of the way of forks."],
    },
    Recipe {
        task: "outbuilding-supply", jobs: 5, count: (1, 1),
        at: &[FARM, HOUSE, BOATS],
        rooms: &["far shed", "back store", "old dairy", "top workshop", "long lean-to"],
        one: &["Power to the {room}", "A supply of its own for the {room}", "The {room} off its extension lead"],
        many: &[],
        with: &[("armoured-run", 85, 12, 30), (TEST, 100, 1, 1), ("light-fitting", 35, 1, 3)],
        uses: &[("Armoured cable 6 mm2 three-core", 24, 0), ("Armoured gland, outdoor", 2, 0), ("Weatherproof double socket", 2, 0), ("LED batten 1.2 m", 2, 0)],
        circuit: ("Feed", "C", 32),
        chances: (0, 80, 100),
        notes: &["Trench was dug, mostly.", "Rod driven, read again on a dry day.", "Board it starts from wanted more doing than the shed.", "Sheep moved, then moved back."],
    },
    Recipe {
        task: "shore-point", jobs: 5, count: (1, 4),
        at: &[BOATS],
        rooms: &["fuel berth", "first finger", "long finger", "crane", "steps"],
        one: &["A shore-power outlet by the {room}", "The outlet nearest the {room}"],
        many: &["{N} shore-power outlets, {room} side", "{N} shore outlets past the {room}"],
        with: &[(TEST, 90, 1, 1), ("breaker-change", 40, 1, 2), ("fault-finding", 15, 1, 1)],
        uses: &[("RCBO single-module", 0, 1), ("Armoured gland, outdoor", 0, 2)],
        circuit: ("Pontoon outlets", "C", 16),
        chances: (30, 0, 70),
        notes: &["Waited on the tide for the last one.", "Green inside, all of it, six years of it.", "Boat owner asleep aboard, woke him first.", "Lid spring is the weak part."],
    },
    Recipe {
        task: "car-point", jobs: 5, count: (1, 1),
        at: &[HOUSE, LET],
        rooms: &["garage", "drive", "porch", "gable", "gate"],
        one: &["A car point on the {room} wall", "Car charging point, {room} side", "Car point, long way round from the {room}"],
        many: &[],
        with: &[(TEST, 100, 1, 1), ("armoured-run", 40, 8, 18)],
        uses: &[("Twin and earth cable 6 mm2", 12, 0), ("RCBO single-module", 1, 0)],
        circuit: ("Car point", "B", 40),
        chances: (0, 70, 100),
        notes: &["Network operator asked first, answered in nine days.", "Signal poor at the wall, app was slow to see it.", "Load of the house reckoned before, sheet in the file."],
    },
    Recipe {
        task: "condition-report", jobs: 9, count: (6, 14),
        at: &[FLAT, HOUSE, LET, SHOP, HALL, FARM, COTTAGE],
        rooms: &["main", "upper", "lower", "old", "back"],
        one: &[],
        many: &["Report on {n} circuits, {room} board", "{N} circuits inspected and tested, {room} board", "Condition report, {n} circuits, {room} board"],
        with: &[("socket", 20, 1, 2), ("breaker-change", 15, 1, 1)],
        uses: &[("Lever connector, three-way", 2, 0)],
        circuit: ("Ring", "B", 32),
        chances: (0, 15, 85),
        notes: &["Lofts and one locked cupboard listed as limits.", "Sample of plates off, one in five.", "Chart disagreed with the board on three ways.", "Report typed the same night."],
    },
    Recipe {
        task: "heating-control", jobs: 6, count: (1, 2),
        at: &[LET, HOUSE, HALL, FLAT],
        rooms: &[],
        one: &["Room stat in the {room}", "A programmer for the {room} heating", "Heating that never stopped, {room}"],
        many: &["{N} stats, {room} and up"],
        with: &[(TEST, 35, 1, 1), ("fused-spur", 35, 1, 1)],
        uses: &[("Heat-resisting flex 1.5 mm2 three-core", 2, 2), ("Lever connector, three-way", 2, 2)],
        circuit: ("Heating spur", "B", 16),
        chances: (25, 0, 45),
        notes: &["Wiring centre was a bag of connectors. Now it is a box.", "Valve stuck, plumber told, not mine.", "Clock an hour out, that was most of it.", "Terminals by the book that came with the boiler, found under the sink."],
    },
    Recipe {
        task: "immersion-heater", jobs: 7, count: (1, 1),
        at: &[LET, COTTAGE, HOUSE, FLAT],
        rooms: &["airing", "landing", "bedroom", "hall"],
        one: &["Immersion stat, {room} cupboard", "No hot water, {room} cupboard", "An immersion switch gone brown, {room} cupboard", "An immersion heater, {room} cupboard"],
        many: &[],
        with: &[(TEST, 35, 1, 1)],
        uses: &[("Double-pole switch 20 A with flex outlet", 0, 1), ("Heat-resisting flex 1.5 mm2 three-core", 2, 0)],
        circuit: ("Immersion", "B", 16),
        chances: (35, 0, 35),
        notes: &["Cut-out had gone and told nobody.", "Element low to earth, cold. Changed.", "Flex cooked at the switch end.", "Tank drained by them the night before, bless them."],
    },
];

#[rustfmt::skip]
pub const ROOMS: [(&str, &[&str]); 8] = [
    (FLAT, &["kitchen", "lounge", "hallway", "back bedroom", "front bedroom", "box room", "cupboard end"]),
    (HOUSE, &["kitchen", "utility", "landing", "back bedroom", "garage", "study", "dining room", "attic room", "side gate"]),
    (LET, &["kitchen", "lounge", "bunk room", "hallway", "boot room", "sun room", "attic room", "snug"]),
    (COTTAGE, &["kitchen", "parlour", "stairs", "scullery", "back bedroom", "porch", "wash-house"]),
    (BOATS, &["workshop", "winch end", "paint bay", "sail loft", "office", "mast rack", "spar bench"]),
    (FARM, &["lambing barn", "dairy", "tractor shed", "egg room", "feed room", "hay barn", "lean-to"]),
    (HALL, &["main floor", "stage", "kitchen", "lobby", "store", "chair cupboard", "side door"]),
    (SHOP, &["counter", "back room", "cold store", "window", "stock room", "oven wall", "till end"]),
];

#[rustfmt::skip]
pub const PLACE_NOTES: [(&str, &[&str]); 8] = [
    (FLAT, &["Tenant out, agent had the key at nine, not half past eight.", "Pushchair and bikes in the stairwell.", "Neighbour below wanted to know how long. So did I.", "Bed had to come to bits."]),
    (HOUSE, &["Broadband had to stay on, so the order was theirs.", "Shoes off, sheets down, tea every hour.", "School run in the middle of it.", "Kept the freezer going on a lead."]),
    (LET, &["Out by four, just.", "Cleaner and me in each other's way.", "Guests had left the heating on full.", "Nobody to ask which cupboard."]),
    (COTTAGE, &["No chasing. Everything goes round.", "Wall is rubble, the fixings are hope and resin.", "Lath behind the plaster came down in a sheet.", "Two sorts of old wiring in the one ceiling."]),
    (BOATS, &["Wind got up, doors had to be shut.", "Slings in the way till eleven.", "Damp on everything, dried the ends first.", "Salt in the screws again."]),
    (FARM, &["Both gates shut after me.", "Mud to the van door and beyond.", "Dog helped.", "Rats had been at the old tube, not this one."]),
    (HALL, &["Yoga at two, so out of the main floor by then.", "Tower borrowed from the caretaker's brother.", "Committee had agreed it, by one vote.", "Found the key where it was not meant to be."]),
    (SHOP, &["Could not switch off until they had closed.", "Tills first, then the freezer, then the rest.", "Flour on everything.", "Customers stepped over the barrier regardless."]),
];

#[rustfmt::skip]
pub const NOTES: [&str; 28] = [
    "Went as it should.",
    "Back in the van by ten past.",
    "Second trip to the counter for one part.",
    "Paid on the day.",
    "Wants a price for the rest. Sent.",
    "Slower than I said.",
    "Quicker than I had feared.",
    "Left it clean.",
    "Photos before closing up.",
    "Could not get at the last one, moved on and came back to it.",
    "They were pleased. I was tired.",
    "Rain all day.",
    "Used the last of a reel.",
    "Old parts taken away.",
    "Quote was light. Should have asked what was behind it.",
    "Told them what it was not.",
    "Must carry longer screws.",
    "Nobody in till ten.",
    "Wrote the chart again while I was there.",
    "Phone flat, times from the van clock.",
    "Half an hour of it was looking for the board.",
    "Asked what else was on it, and nobody knew.",
    "Dust sheet, vacuum, dust sheet.",
    "Blade gone, spare was in the other box.",
    "Everything tested as expected.",
    "Label on it this time.",
    "Put the price up next time.",
    "Remember the lamp for the loft.",
];

#[rustfmt::skip]
pub const EXTRAS: [&str; 6] = [
    "refix two loose plates",
    "put up a light of their own while there",
    "label the whole board",
    "one more outlet on the same wall",
    "clear and cap an old spur",
    "move a switch that was behind the door",
];

/// Free returns: the task whose job is come back to, how many of its jobs to pass over, and the note.
#[rustfmt::skip]
pub const RETURNS: [(&str, usize, &str); 10] = [
    ("downlight", 1, "driver failed, spare fitted"),
    ("downlight", 1, "another driver, same room"),
    ("downlight", 3, "driver failed, spare fitted"),
    ("shore-point", 0, "lid spring gone, lid changed"),
    ("shore-point", 2, "lid spring gone, lid changed"),
    ("outside-light", 1, "sensor stuck on, fitting changed"),
    ("outside-light", 4, "water in it, gland made off again"),
    ("smoke-alarm", 2, "one chirping, head changed"),
    ("heating-control", 1, "stat lost its place, set again and terminals checked"),
    ("extractor-fan", 1, "fan noisy, changed under the maker's promise"),
];

/// Days on which she does not work, besides Sundays: bank holidays, and the days round Christmas go by rule.
#[rustfmt::skip]
pub const HOLIDAYS: [(i32, u32, u32); 17] = [
    (2024, 3, 29),
    (2024, 4, 1),
    (2024, 5, 6),
    (2024, 5, 27),
    (2024, 8, 26),
    (2025, 4, 18),
    (2025, 4, 21),
    (2025, 5, 5),
    (2025, 5, 26),
    (2025, 8, 25),
    (2026, 4, 3),
    (2026, 4, 6),
    (2026, 5, 4),
    (2026, 5, 25),
    (2026, 8, 31),
    (2024, 1, 1),
    (2026, 1, 1),
];

/// Published Zs for type and rating, in hundredths of an ohm, 230 V and Cmin 0.95: U0 x Cmin / Ia. Then the highest
/// that such a circuit of a house is likely to read: an electrician with 7 ohms on a lighting circuit looks for why.
#[rustfmt::skip]
pub const ZS: [(&str, u32, i64, i64); 6] = [
    ("B", 6, 728, 260),
    ("B", 16, 273, 190),
    ("B", 20, 219, 190),
    ("B", 32, 137, 137),
    ("B", 40, 109, 109),
    ("C", 16, 137, 137),
];
