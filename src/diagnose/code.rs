//! The stable names of everything that can be wrong. Each has a page in the handbook (`content/handbook`).

macro_rules! codes {
    ($($(#[$doc:meta])* $variant:ident = $name:literal,)*) => {
        /// A diagnostic's stable name.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code { $($(#[$doc])* $variant,)* }

        impl Code {
            /// Every code, in the order of this list.
            pub const ALL: &'static [Code] = &[$(Code::$variant,)*];

            /// The kebab-case name, as shown and as the handbook's file is called.
            pub fn as_str(self) -> &'static str {
                match self { $(Code::$variant => $name,)* }
            }
        }
    };
}

codes! {
    // The files themselves.
    /// A file is not UTF-8 text.
    NotUtf8 = "not-utf8",
    /// A file or folder could not be read.
    CannotRead = "cannot-read",
    /// A file is larger than any log needs to be.
    FileTooLarge = "file-too-large",
    /// A symbolic link leads out of the diary, in a circle, or nowhere.
    LinkOutside = "link-outside",
    /// Folders nest deeper than any diary needs.
    FoldersTooDeep = "folders-too-deep",
    /// There is no front matter where there must be.
    NoFrontMatter = "no-front-matter",
    /// Front matter begins and never ends.
    FrontMatterOpen = "front-matter-open",
    /// Front matter is not YAML.
    NotYaml = "not-yaml",
    /// YAML of a kind that a diary has no use for: anchors, aliases, tags, merge keys, several documents.
    YamlNotUsed = "yaml-not-used",
    /// YAML nested too deeply, or a value too long.
    YamlTooBig = "yaml-too-big",

    // Keys and values.
    /// A key that is not one of ours.
    UnknownKey = "unknown-key",
    /// A key given twice.
    DuplicateKey = "duplicate-key",
    /// A required key is missing.
    MissingKey = "missing-key",
    /// A key without a value.
    EmptyValue = "empty-value",
    /// A list where one value belongs, and so on.
    WrongShape = "wrong-shape",
    /// A word that is not among those allowed.
    UnknownWord = "unknown-word",
    /// Not a date.
    BadDate = "bad-date",
    /// Not a clock time.
    BadClock = "bad-clock",
    /// A clock time that does not exist on that night.
    ClockSkipped = "clock-skipped",
    /// Not a length of time.
    BadLength = "bad-length",
    /// Not an amount of money.
    BadMoney = "bad-money",
    /// Not a number, or one out of range.
    BadNumber = "bad-number",
    /// Not a reading.
    BadReading = "bad-reading",
    /// Not a ref.
    BadRef = "bad-ref",
    /// Not a time zone.
    BadTimezone = "bad-timezone",
    /// Not a web address.
    BadAddress = "bad-address",

    // One visit.
    /// A visit has neither times nor length.
    VisitNoLength = "visit-no-length",
    /// `from` equal to `to`.
    VisitEmpty = "visit-empty",
    /// Both `from`/`to` and `time`, or one end without the other.
    VisitTimes = "visit-times",
    /// The break is as long as the visit or longer.
    BreakTooLong = "break-too-long",
    /// Task times of a visit add up to more than the visit.
    TasksExceedVisit = "tasks-exceed-visit",
    /// A task type that `diary.yaml` does not know.
    UnknownTask = "unknown-task",
    /// Many task or location types that the logs use and `diary.yaml` does not have.
    DiaryCutShort = "diary-cut-short",
    /// A task sold by the metre or circuit without its count.
    TaskNoCount = "task-no-count",
    /// A task without its time.
    TaskNoTime = "task-no-time",

    // Across the diary.
    /// Two logs with one ref.
    DuplicateRef = "duplicate-ref",
    /// A client that `clients.yaml` does not have.
    UnknownClient = "unknown-client",
    /// A price in `priced` that `prices/` does not have.
    UnknownPrice = "unknown-price",
    /// A location type that `diary.yaml` does not know.
    UnknownLocation = "unknown-location",
    /// A ref in `for` that no log has.
    UnknownRef = "unknown-ref",
    /// A log without a location type.
    NoLocation = "no-location",
    /// Two pages that would have one address.
    SameAddress = "same-address",
    /// A title that gives no address.
    NoAddress = "no-address",
    /// A page marked `ready` that has no date of its own.
    UndatedPage = "undated-page",
    /// A question marked to be published that nothing answers yet.
    QuestionWaiting = "question-waiting",
    /// A promised title that no page has, and that a page nearly has.
    PromiseNear = "promise-near",
    /// A finding's `visit` is not a visit of the job.
    NoSuchVisit = "no-such-visit",
    /// A log that had a free return does not say whether a reviewed material came back.
    CameBackUnsaid = "came-back-unsaid",

    // The body.
    /// Raw HTML in a body.
    RawHtml = "raw-html",
    /// A fenced block that never ends.
    FenceOpen = "fence-open",
    /// A link to a log or page that is not there.
    BrokenLink = "broken-link",
    /// A link to a log that readers cannot see.
    LinkToPrivate = "link-to-private",
    /// A link to a heading that is not on the page.
    BrokenAnchor = "broken-anchor",
    /// A picture that is not there, or of a kind that cannot be shown.
    BadPicture = "bad-picture",
    /// A picture without words for those who cannot see it.
    PictureNoWords = "picture-no-words",
    /// A line of a `photos` block that cannot be used.
    PhotoLine = "photo-line",
    /// A photo of a kind that browsers cannot show.
    PhotoHeic = "photo-heic",
    /// A photo that is cut short, damaged, or none.
    PhotoBroken = "photo-broken",
    /// A photo of more pixels or bytes than can be used.
    PhotoTooLarge = "photo-too-large",
    /// A drawing that carries script or reaches out.
    DrawingUnsound = "drawing-unsound",
    /// A film's captions that are not there, or that cannot be read.
    BadCaptions = "bad-captions",
    /// Captions out of order, or one on top of another.
    CaptionsOrder = "captions-order",
    /// A captions file that no film takes.
    CaptionsUnused = "captions-unused",
    /// A caution that the program does not have by that name.
    UnknownCaution = "unknown-caution",

    // What a careful colleague says across a diary (the rules).
    /// A C1, C2 or FI with nobody told.
    DangerUntold = "danger-untold",
    /// A C1 told late.
    DangerToldLate = "danger-told-late",
    /// A C1 or C2 told by phone only.
    DangerToldByPhone = "danger-told-by-phone",
    /// A C1 or C2 with nothing done and no later visit.
    DangerLeft = "danger-left",
    /// A finding told of or put right before the visit that found it.
    BeforeFound = "before-found",
    /// A reading without its device or circuit.
    ReadingIncomplete = "reading-incomplete",
    /// A reading outside its figure.
    ReadingOutside = "reading-outside",
    /// A reading within its figure and past what one taken cold should keep to.
    ReadingNear = "reading-near",
    /// A write-up or how-to without the caution that its words call for.
    CautionMissing = "caution-missing",
    /// A quoted job, long finished, not charged.
    NotCharged = "not-charged",
    /// Charged on a date before the last visit.
    ChargedEarly = "charged-early",
    /// Hours over the quote with no extras written.
    HoursOverQuote = "hours-over-quote",
    /// A quote without hours.
    QuoteNoHours = "quote-no-hours",
    /// A year of `diary.yaml` that is to pay nothing.
    YearNoPay = "year-no-pay",
    /// A rate or a percentage that cannot be meant.
    OddRate = "odd-rate",
    /// A job of free returns alone that is charged.
    FreeReturnCharged = "free-return-charged",
    /// A paid visit on a like task at the same place inside the guarantee.
    PaidInsideGuarantee = "paid-inside-guarantee",
    /// A visit of over fourteen hours.
    VisitVeryLong = "visit-very-long",
    /// A break longer than half the visit.
    BreakLong = "break-long",
    /// Two visits at once.
    VisitsOverlap = "visits-overlap",
    /// Two visits closer than the travel between them.
    VisitsTooClose = "visits-too-close",
    /// A visit after the day of the report.
    VisitInFuture = "visit-in-future",
    /// Something written as done on a day after that of the report.
    DateInFuture = "date-in-future",
    /// A visit years away from the year of its job's ref.
    VisitYear = "visit-year",
    /// A call-out that nobody pays for.
    CallOutUnpaid = "call-out-unpaid",
    /// A rented home's report or work past its days.
    RentedLate = "rented-late",
    /// A private word on a public page.
    PrivateWord = "private-word",
    /// A material sold below its cost.
    BelowCost = "below-cost",
    /// A material with a count of nought.
    CountNought = "count-nought",
    /// Metres with no unit.
    MetresNoUnit = "metres-no-unit",
    /// Parking paid and never charged.
    ParkingUncharged = "parking-uncharged",

    // Sheets.
    /// A sheet of the diary's own that cannot be used.
    BadSheet = "bad-sheet",
}

impl Code {
    /// Whether it is told before everything else: a danger that nobody was told of.
    pub fn comes_first(self) -> bool {
        self == Code::DangerUntold
    }
}

impl std::fmt::Display for Code {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.as_str())
    }
}
