export interface paths {
    "/api/first": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["first"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/handbook": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** the chapters in the order of reading */
        get: operations["handbook"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/handbook/{name}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["chapter"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/others": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** whether other devices can come in, and how */
        get: operations["others"];
        /** sets the passphrase and lets other devices in; only from the computer itself */
        put: operations["let-in"];
        post?: never;
        /** keeps other devices out again; only from the computer itself */
        delete: operations["keep-out"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/shops": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["shops"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/shops/{shop}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["state"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/shops/{shop}/edits": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["edits"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/shops/{shop}/jobs": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** those under way and the last few, oldest first, without their answers */
        get: operations["jobs"];
        put?: never;
        post: operations["begin-job"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/shops/{shop}/jobs/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** with its answer, once it has ended */
        get: operations["job"];
        put?: never;
        post?: never;
        /** stops it; what was found until then is its answer */
        delete: operations["end-job"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/shops/{shop}/look": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["look"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/shops/{shop}/redo": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["redo"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/shops/{shop}/undo": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post: operations["undo"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/api/words": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get: operations["words"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
}
export type webhooks = Record<string, never>;
export interface components {
    schemas: {
        Air: {
            cleaner: components["schemas"]["CleanerAdvice"];
            clearing: components["schemas"]["Clearing"];
            day: components["schemas"]["Point"][];
            /** Format: int64 */
            days_a_week: number;
            filter_of?: string;
            filters?: components["schemas"]["FilterChoice"][];
            findings: components["schemas"]["CuredFinding"][];
            flames: string;
            general: string[];
            hoods?: components["schemas"]["HoodAdvice"][];
            limits: components["schemas"]["LimitAnswer"][];
            no_hours?: string[];
            options: components["schemas"]["AirOption"][];
            outdoors?: components["schemas"]["Outdoors"];
            rest_of_the_room: components["schemas"]["Dust"];
            /** @description the answer in one sentence */
            sentence: components["schemas"]["Part"][];
            setups?: components["schemas"]["SetupAnswer"][];
            shop: string;
            tasks: components["schemas"]["Task"][];
            together?: components["schemas"]["Together"][];
            twa_8h: components["schemas"]["Dust"];
            twa_8h_with_mask?: components["schemas"]["Dust"];
        };
        AirOption: {
            code: string;
            edits: components["schemas"]["Edit"][];
            effects: components["schemas"]["Effect"][];
            free: boolean;
            inhalable_of_today: components["schemas"]["Span"];
            price?: string;
            respirable_of_today: components["schemas"]["Span"];
            sentence: string;
            /** @description why it is not advised */
            withheld?: string;
            /** @description what the act brings about */
            worse: components["schemas"]["Finding"][];
        };
        Ask: {
            arrangement?: string;
            edits?: components["schemas"]["Edit"][];
            /** @enum {string} */
            filter?: "due" | "now" | "clean";
            open?: string[];
            /**
             * Format: int64
             * @description 0: the latest
             */
            rev: number;
            running?: components["schemas"]["AskRunning"][];
            /** @description MACHINE or MACHINE/PORT that sheet, curve and remedies are wanted for */
            select?: string;
            shut?: string[];
            /** @description a draft instead of edits; an empty one is a text, too */
            text?: string;
            /** @description of ranges, alone, sheet, curve, remedies, findings, layout, power, air, gates, next */
            want?: string[];
        };
        AskRunning: {
            machine: string;
            place?: string;
            setup?: string;
        };
        Assignment: {
            breaks?: string[];
            cannot?: string[];
            /** Format: int64 */
            cords_too_short: number;
            fewest: boolean;
            /** Format: int64 */
            left: number;
            left_out?: string[];
            moves: components["schemas"]["Move"][];
            /** Format: int64 */
            of: number;
            outcome: string;
            smallest?: boolean;
            /** Format: int64 */
            steps: number;
        };
        Change: {
            /** @description in the words of whoever changed it, on one line */
            cause: string;
            edits?: components["schemas"]["Edit"][];
            /** @description makes a retry harmless */
            id: string;
            /** Format: int64 */
            rev: number;
            /** @description the run that rev was read in; where it is another now the answer is a conflict. Empty: not checked */
            run?: string;
            /** @description the whole text instead of edits; an empty one is a text, too */
            text?: string;
        };
        Changed: {
            /** Format: int64 */
            rev: number;
            /** @description empty where there was nothing to undo or redo */
            what: string;
        };
        Chapter: {
            /** @description name of the chapter after; empty for the last */
            after: string;
            /** @description name of the chapter before; empty for the first */
            before: string;
            headings: components["schemas"]["Heading"][];
            /** @description without the title; made from our own Markdown, raw HTML left out. Links to chapters: #handbook/NAME/HEADING, with data-chapter and data-heading; ids of headings: handbook-HEADING */
            html: string;
            /** @description as in its address */
            name: string;
            title: string;
            /** @description the chapter it belongs under; empty for one of its own */
            under: string;
        };
        ChapterLine: {
            /** @description as in its address */
            name: string;
            title: string;
            /** @description the chapter it belongs under; empty for one of its own */
            under: string;
        };
        Chart: {
            findings: components["schemas"]["Finding"][];
            lines: components["schemas"]["ChartLine"][];
            no_extraction?: string[];
            /** @description the answer in one sentence */
            sentence: components["schemas"]["Part"][];
            shop: string;
        };
        ChartLine: {
            also_start?: string[];
            by_hand: string[];
            carry_hose?: string;
            /** Format: double */
            coast_down_s: number;
            /** Format: double */
            keeps_running_s: number;
            machine: string;
            open: string[];
            place?: string;
            proof_sensor?: string;
            setup?: string;
            shut: string[];
            /** @description how its extraction starts: by hand, first; or by itself */
            starts: string;
            system: string;
            wait_made_of: components["schemas"]["Delay"][];
            /** Format: double */
            wait_s: number;
        };
        Circuit: {
            danger?: string[];
            /** Format: double */
            drop_share: number;
            known: boolean;
            length_assumed?: boolean;
            /** Format: double */
            length_m?: number;
            name: string;
            protection?: string[];
            /** Format: double */
            rating_a: number;
            rating_assumed?: boolean;
            /** Format: double */
            voltage_v: number;
            wire?: string;
            wire_assumed?: boolean;
            worst: components["schemas"]["Held"];
            worst_set?: string;
        };
        CleanerAdvice: {
            at: string;
            /** Format: double */
            for_half_an_hour_m3s: number;
            spares_in_10_30_180_min_share: number[];
            /** Format: double */
            stop_paying_at_m3s: number;
        };
        Clearing: {
            alone: components["schemas"]["Wait"];
            /** Format: double */
            cleaner_runs_s: number;
            curve?: components["schemas"]["Left"][];
            stay_out: components["schemas"]["Wait"];
            with_cleaner?: components["schemas"]["Wait"];
        };
        CuredFinding: {
            code: string;
            /** Format: int64 */
            column?: number;
            help?: string;
            /** Format: int64 */
            line?: number;
            numbers?: {
                [key: string]: number;
            };
            path: string;
            remedies?: components["schemas"]["Remedy"][];
            sentence: string;
            severity: string;
            source?: string;
            words?: {
                [key: string]: string;
            };
        };
        Delay: {
            /** Format: double */
            time_s: number;
            what: string;
        };
        Dust: {
            inhalable: components["schemas"]["Levels"];
            respirable: components["schemas"]["Levels"];
            thoracic: components["schemas"]["Levels"];
        };
        Edit: {
            after?: string;
            before?: string;
            /** @description path of a thing with a name: a copy named 'to' comes right after it; of a machine it stands nowhere yet */
            duplicate?: string;
            /** @description text, a list, or an object */
            insert?: unknown;
            remove?: string;
            /** @description a path; all that speaks of it is mended with it */
            rename?: string;
            set?: string;
            /** @description path of a machine: it goes with all that speaks of it; pipes stay, ended in a cap */
            take_out?: string;
            /** @description text, a list, or an object */
            to?: unknown;
            /** @description text, a list, or an object */
            was?: unknown;
        };
        Effect: {
            /** Format: double */
            gets_after_m3s: number;
            /** Format: double */
            gets_before_m3s: number;
            /** Format: double */
            needs_after_m3s: number;
            /** Format: double */
            needs_before_m3s: number;
            port: string;
            with: string[];
        };
        Energy: {
            /** Format: double */
            cost_a_week?: number;
            /** Format: double */
            cost_a_week_high?: number;
            /** Format: double */
            cost_a_week_low?: number;
            currency?: string;
            heat_set?: string;
            /** Format: double */
            heat_w: number;
            /** Format: double */
            high_j: number;
            left_out: string[];
            /** Format: double */
            low_j: number;
            rows: components["schemas"]["EnergyRow"][];
            /** Format: double */
            week_j: number;
        };
        EnergyRow: {
            /** Format: double */
            energy_j: number;
            /** Format: double */
            high_j: number;
            /** Format: double */
            hours_s: number;
            /** Format: double */
            low_j: number;
            name: string;
            /** Format: double */
            power_w: number;
        };
        ErrorDetail: {
            /** @description Where the error occurred, e.g. 'body.items[3].tags' or 'path.thing-id' */
            location?: string;
            /** @description Error message text */
            message?: string;
            /** @description The value at the given location */
            value?: unknown;
        };
        ErrorModel: {
            /**
             * @description A human-readable explanation specific to this occurrence of the problem.
             * @example Property foo is required but is missing.
             */
            detail?: string;
            /** @description Optional list of individual error details */
            errors?: components["schemas"]["ErrorDetail"][];
            /**
             * Format: uri
             * @description A URI reference that identifies the specific occurrence of the problem.
             * @example https://example.com/error-log/abc123
             */
            instance?: string;
            /**
             * Format: int64
             * @description HTTP status code
             * @example 400
             */
            status?: number;
            /**
             * @description A short, human-readable summary of the problem type. This value should not change between occurrences of the error.
             * @example Bad Request
             */
            title?: string;
            /**
             * Format: uri
             * @description A URI reference to human-readable documentation for the error.
             * @default about:blank
             * @example https://example.com/errors/example
             */
            type: string;
        };
        Fault: {
            code: string;
            /** Format: int64 */
            column: number;
            cure: string;
            /** Format: int64 */
            line: number;
            /** @description the whole message with its excerpt */
            text: string;
            what: string;
        };
        FilterChoice: {
            grade: string;
            inhalable_of_today: components["schemas"]["Span"];
            respirable_of_today: components["schemas"]["Span"];
            sold_as?: string;
        };
        Finding: {
            code: string;
            /** Format: int64 */
            column?: number;
            help?: string;
            /** Format: int64 */
            line?: number;
            numbers?: {
                [key: string]: number;
            };
            path: string;
            sentence: string;
            severity: string;
            source?: string;
            words?: {
                [key: string]: string;
            };
        };
        First: {
            look: components["schemas"]["Look"];
            text: string;
        };
        FirstAsk: {
            /** @description by the names of winnow new's flags: units, collector, motor, claim, no-papers, inlet, wheel, bag, pull-blocked, hose-width, hose-length, hose-lies, machines, floor, cleaned */
            answers: {
                [key: string]: string;
            };
            /** @description as in Ask */
            want?: string[];
        };
        GateInfo: {
            /** @description opened to keep a pipe fast enough */
            bleed: boolean;
            /** @description it has a device; else it is moved by hand */
            by_itself: boolean;
            name: string;
            path: string;
            /** @description left open when idle */
            rests_open: boolean;
        };
        Heading: {
            /** @description of its element: handbook-HEADING */
            id: string;
            /**
             * Format: int64
             * @description 2 for a part of the chapter, 3 for a part of that
             */
            level: number;
            text: string;
        };
        Held: {
            at_cut: components["schemas"]["Times"];
            at_full: components["schemas"]["Times"];
            at_idle: components["schemas"]["Times"];
            because_of_a_start?: boolean;
            /** Format: double */
            chance_share: number;
            circuit: string;
            curve?: string;
            /** Format: double */
            cut_a: number;
            /** Format: double */
            full_a: number;
            /** Format: double */
            full_chance_share: number;
            /** Format: double */
            idle_a: number;
            instant_trip?: string;
            loads: components["schemas"]["Share"][];
            not_known?: string[];
            /** Format: double */
            rating_a: number;
            /** Format: double */
            start_lasts_s?: number;
            /** Format: double */
            start_total_a?: number;
            starter?: string;
            verdict: string;
        };
        HoodAdvice: {
            /** Format: double */
            at_m: number;
            /** Format: double */
            closed_in_needs_m3s: number;
            /** Format: double */
            closed_in_to_m2: number;
            machine: string;
            /** Format: double */
            needs_at_twice_that_m3s: number;
            /** Format: double */
            needs_m3s: number;
            /** Format: double */
            slot_m: number;
            /** Format: double */
            slot_needs_m3s: number;
            /** Format: double */
            usual_need_m3s: number;
        };
        Job: {
            /**
             * Format: int64
             * @description of prove: states looked at so far
             */
            count: number;
            id: string;
            /** @enum {string} */
            kind: "prove";
            /** Format: double */
            limit_s: number;
            /**
             * Format: int64
             * @description of how many looks it is made; 0 until that is known
             */
            parts: number;
            /** Format: int64 */
            parts_done: number;
            proof?: components["schemas"]["Proof"];
            /** Format: int64 */
            rev: number;
            /**
             * @description done: by itself or by its time limit; stopped: by somebody, and what was found until then is the answer
             * @enum {string}
             */
            state: "running" | "done" | "stopped" | "failed";
            /** Format: double */
            took_s: number;
            /** @description why it failed, and what to do */
            why?: string;
        };
        JobAsk: {
            /**
             * @description prove: look for a way in which the controller of this shop could break one of its rules
             * @enum {string}
             */
            kind: "prove";
            /**
             * Format: int64
             * @description of which revision; 0: the latest
             */
            rev?: number;
            /**
             * Format: int64
             * @description how long it may take; 0: a minute
             */
            seconds?: number;
        };
        LaidCleaner: {
            at: number[];
            /** @description the path an edit sets to move it */
            at_path: string;
            corners: number[][];
            name: string;
            /** @description the outlet it is plugged into; empty where none is said */
            outlet: string;
            path: string;
            placed: boolean;
            /** @description the path an edit sets to plug it in elsewhere; empty where the file says that it has no plug */
            plug_path: string;
        };
        LaidCord: {
            line: number[][];
            of: string;
            outlet: string;
            short: boolean;
            /** @description where it crosses a walkway */
            trips: number[][];
        };
        LaidDoor: {
            from: number[];
            name: string;
            opens: string;
            swing: number[][];
            to: number[];
        };
        LaidHose: {
            carried: boolean;
            known: boolean;
            line: number[][];
            machine: string;
            now: boolean;
            port: string;
            run: string;
            /** Format: double */
            slack_m: number;
            system: string;
            /** @description where it crosses a walkway */
            trips: number[][];
        };
        LaidMachine: {
            at: number[];
            /** @description the path an edit sets to move it */
            at_path: string;
            away: boolean;
            facing_path: string;
            /** Format: double */
            facing_rad: number;
            footprint: number[][];
            infeed: number[][];
            name: string;
            outfeed: number[][];
            place: string;
            placed: boolean;
            ports: components["schemas"]["LaidPort"][];
        };
        LaidOutlet: {
            at: number[];
            /** @description the path an edit sets to move it */
            at_path: string;
            circuit: string;
            name: string;
            path: string;
            placed: boolean;
            plugged: components["schemas"]["Plugged"][];
        };
        LaidPiece: {
            at: number[];
            goes: string;
            /** Format: double */
            length_m: number;
            line: number[][];
            name: string;
            path: string;
            placed: boolean;
            /** @description of a gate: left open when idle */
            rests_open: boolean;
            run: string;
            /** Format: double */
            size_m: number;
            /** @description not to scale */
            sketch: number[][];
            system: string;
            what: string;
        };
        LaidPort: {
            at: number[];
            placed: boolean;
            port: string;
        };
        LaidShape: {
            /** @description there in this arrangement only */
            also: boolean;
            corners: number[][];
            name: string;
        };
        LaidSystem: {
            at: number[];
            /** @description the path an edit sets to move it */
            at_path: string;
            facing_path: string;
            /** Format: double */
            facing_rad: number;
            footprint: number[][];
            inlet: number[];
            name: string;
            placed: boolean;
        };
        Layout: {
            arrangement: string;
            cleaners: components["schemas"]["LaidCleaner"][];
            cords: components["schemas"]["LaidCord"][];
            corners: number[][];
            doors: components["schemas"]["LaidDoor"][];
            high: number[];
            lays: components["schemas"]["LaidHose"][];
            low: number[];
            machines: components["schemas"]["LaidMachine"][];
            obstacles: components["schemas"]["LaidShape"][];
            outlets: components["schemas"]["LaidOutlet"][];
            pieces: components["schemas"]["LaidPiece"][];
            /** @description false: nothing has a place; everything stands in the tray */
            placed: boolean;
            systems: components["schemas"]["LaidSystem"][];
            walkways: components["schemas"]["LaidShape"][];
            walls: number[][][];
        };
        Left: {
            /** Format: double */
            after_s: number;
            alone_share: components["schemas"]["Span"];
            as_set_share?: components["schemas"]["Span"];
            with_cleaner_share?: components["schemas"]["Span"];
        };
        LetIn: {
            /** @description a new one; every other device is asked for it anew. May be left out where one is set */
            passphrase?: string;
        };
        Levels: {
            /** Format: double */
            high_kgm3: number;
            /** Format: double */
            low_kgm3: number;
            /** Format: double */
            median_kgm3: number;
        };
        Limit: {
            /** Format: double */
            allows_a: number;
            /** Format: double */
            has_a: number;
            note?: string;
            ok: string;
            source: string;
            what: string;
        };
        LimitAnswer: {
            by: string;
            /** Format: double */
            chance_over: number;
            fraction: string;
            key: string;
            /** Format: double */
            level_kgm3: number;
            place: string;
            source: string;
            status: string;
            wood: string;
            word: string;
            year: string;
        };
        Load: {
            assumed?: boolean;
            /** Format: double */
            at_run_v?: number;
            /** Format: double */
            at_start_v?: number;
            circuit?: string;
            /** Format: double */
            cut_a: number;
            /** Format: double */
            full_a: number;
            how: string;
            /** Format: double */
            idle_a: number;
            known: boolean;
            /** Format: double */
            marked_a: number;
            name: string;
            outlet?: string;
            /** Format: double */
            rated_a: number;
            rated_by: string;
            sort: string;
            /** Format: double */
            start_a: number;
            /** Format: double */
            start_lasts_s: number;
            /** Format: double */
            start_torque_share?: number;
            starts_itself?: boolean;
            /** Format: double */
            voltage_v?: number;
            works?: string;
        };
        Look: {
            air?: components["schemas"]["Air"];
            /** @description the gate chart */
            chart?: components["schemas"]["Chart"];
            curve?: components["schemas"]["LookCurve"];
            fans: components["schemas"]["LookFan"][];
            faults: components["schemas"]["Fault"][];
            findings: components["schemas"]["Finding"][];
            gates: components["schemas"]["LookGate"][];
            layout?: components["schemas"]["Layout"];
            next?: components["schemas"]["Next"];
            pieces: components["schemas"]["LookPiece"][];
            ports: components["schemas"]["LookPort"][];
            power?: components["schemas"]["Power"];
            remedies: components["schemas"]["Remedy"][];
            /** Format: int64 */
            rev: number;
            sentence: components["schemas"]["Part"][];
            sheet?: components["schemas"]["LookSheet"];
            /** Format: double */
            took_ms: number;
        };
        LookCurve: {
            at: number[];
            fan: number[][];
            flow_range_m3s?: number[];
            line: number[][];
            system: string;
        };
        LookFan: {
            beyond_curve: boolean;
            /** Format: double */
            flow_m3s: number;
            /** Format: double */
            high_m3s?: number;
            /** Format: double */
            leaks_m3s: number;
            /** Format: double */
            low_m3s?: number;
            /** Format: double */
            pressure_pa: number;
            system: string;
        };
        LookGate: {
            gate: string;
            open: boolean;
            system: string;
        };
        LookPiece: {
            /** Format: double */
            bore_m: number;
            chips: string;
            /** Format: double */
            flow_m3s: number;
            path: string;
            run: string;
            /** Format: double */
            speed_ms: number;
            system: string;
            used: boolean;
        };
        LookPort: {
            /** Format: double */
            chance_chips?: number;
            chance_words?: string;
            /** Format: double */
            gets_m3s: number;
            /** Format: double */
            high_m3s?: number;
            /** Format: double */
            low_m3s?: number;
            machine: string;
            /** Format: double */
            needs_chips_m3s: number;
            /** Format: double */
            needs_fine_m3s: number;
            port: string;
            /** Format: double */
            port_speed_ms: number;
            /** Format: double */
            port_suction_pa: number;
            pull: components["schemas"]["LookShare"][];
            running: boolean;
            setup?: string;
            system: string;
            verdict: string;
            verdict_fine: string;
        };
        LookRow: {
            basis: string;
            /** Format: double */
            bore_m: number;
            /** Format: double */
            flow_m3s: number;
            group: string;
            how: string;
            /** Format: double */
            length_m: number;
            /** Format: double */
            loss_coefficient: number;
            /** Format: double */
            loss_pa: number;
            path: string;
            source: string;
            /** Format: double */
            speed_ms: number;
            /** Format: double */
            static_pressure_pa: number;
            /** Format: double */
            velocity_pressure_pa: number;
            what: string;
        };
        LookShare: {
            group: string;
            /** Format: double */
            loss_pa: number;
            paths: string[];
            /** Format: double */
            share: number;
        };
        LookSheet: {
            /** Format: double */
            density_kgm3: number;
            /** Format: double */
            fan_flow_m3s: number;
            /** Format: double */
            fan_pa: number;
            fan_words: string;
            port: string;
            rows: components["schemas"]["LookRow"][];
            /** Format: double */
            sum_pa: number;
            system: string;
        };
        Machine: {
            kind: string;
            name: string;
            note: string;
            /** @description the outlet it is plugged into; empty where none is said */
            outlet: string;
            path: string;
            places: string[];
            /** @description the path an edit sets to plug it in elsewhere; empty where the file says that it has no plug */
            plug_path: string;
            ports: components["schemas"]["PortInfo"][];
            /** @description some run starts at it */
            served: boolean;
            setups: string[];
            wheels: boolean;
        };
        MotorStarts: {
            /** Format: double */
            could_per_s: number;
            from: string;
            /** Format: double */
            keeps_running_s: number;
            /** Format: double */
            may_per_s: number;
            /** Format: double */
            rest_s: number;
            system: string;
        };
        Move: {
            /** Format: double */
            beyond_cord_m?: number;
            from?: string;
            from_circuit?: string;
            load: string;
            reach_not_known?: boolean;
            to: string;
            to_circuit: string;
        };
        Next: {
            /** @description what endangers somebody: before any act */
            dangers: components["schemas"]["Finding"][];
            /** @description the answer in one sentence */
            sentence: components["schemas"]["Part"][];
            shop: string;
            /** @description three at most */
            steps: components["schemas"]["Step"][];
        };
        Others: {
            /** @description what a phone's camera is shown; empty where none can come in */
            address: string;
            /** @description it can be opened from the page, without starting anew */
            can_open: boolean;
            /** @description this is the computer itself: it may set the passphrase and let others in */
            here: boolean;
            /** @description what crosses the network can be read there: the program was started without a certificate */
            in_clear: boolean;
            /** @description it was open, and was shut as this computer is in another network now: ask before opening it there */
            moved: boolean;
            /** @description other devices in this network can come in */
            open: boolean;
            /** @description one is set */
            passphrase: boolean;
        };
        Outdoors: {
            advice: string;
            already?: boolean;
            /** Format: double */
            below_high_pa: number;
            /** Format: double */
            below_low_pa: number;
            /** Format: double */
            below_pa: number;
            /** Format: double */
            colder_k: number;
            flames: string;
            /** Format: double */
            flow_high_m3s: number;
            /** Format: double */
            flow_m3s: number;
            /** Format: double */
            heat_a_week_j: number;
            /** Format: double */
            heat_w: number;
            /** Format: double */
            opening_m2: number;
            respirable_of_today: components["schemas"]["Span"];
            system: string;
        };
        Outlet: {
            circuit: string;
            name: string;
            plan: string[];
            plugged: string[];
            /** Format: double */
            rating_a: number;
            shape?: string;
            /** Format: double */
            spare_a: number;
            /** Format: double */
            voltage_v: number;
        };
        Part: {
            /** @enum {string} */
            kind: "" | "machine" | "piece" | "system" | "verdict" | "circuit" | "task" | "act";
            path?: string;
            text: string;
        };
        Plugged: {
            name: string;
            path: string;
            /** @description the path an edit sets to plug it in elsewhere */
            plug_path: string;
        };
        Point: {
            /** Format: double */
            from_s: number;
            respirable: components["schemas"]["Levels"];
            running?: string;
            there: boolean;
            /** Format: double */
            to_s: number;
        };
        PortInfo: {
            /** Format: double */
            needs_chips_m3s: number;
            /** Format: double */
            needs_fine_m3s: number;
            port: string;
            /** Format: double */
            size_m: number;
        };
        Power: {
            /** Format: double */
            all_circuits_a: number;
            assignment: components["schemas"]["Assignment"];
            cautions: string[];
            circuits: components["schemas"]["Circuit"][];
            energy: components["schemas"]["Energy"];
            family: string;
            findings: components["schemas"]["CuredFinding"][];
            limits: components["schemas"]["Limit"][];
            loads: components["schemas"]["Load"][];
            motor_starts: components["schemas"]["MotorStarts"][];
            not_computed: string[];
            /** Format: double */
            one_wire_a: number;
            outdoors: components["schemas"]["Thrown"][];
            outlets: components["schemas"]["Outlet"][];
            rules: components["schemas"]["Rule"][];
            /** @description the answer in one sentence */
            sentence: components["schemas"]["Part"][];
            sets: components["schemas"]["SetResult"][];
            shop: string;
            taken: string[];
        };
        Proof: {
            findings: components["schemas"]["Finding"][];
            shop: string;
            systems: components["schemas"]["SystemProof"][];
        };
        ProofResult: {
            alike_once: boolean;
            any_others: boolean;
            brief: boolean;
            /** Format: int32 */
            broken_rule?: number;
            by_the_clock: boolean;
            complete: boolean;
            /** Format: int64 */
            faults_at_most: number;
            /** Format: int64 */
            machines: number;
            /** Format: int64 */
            memory_bytes: number;
            name: string;
            premises: number[];
            /** Format: int64 */
            states: number;
            /** Format: int64 */
            states_at_most: number;
            /** Format: int64 */
            steps: number;
            timeline?: string[];
            whole: boolean;
            why?: string;
        };
        Remedy: {
            code: string;
            edits: components["schemas"]["Edit"][];
            effects: components["schemas"]["Effect"][];
            free: boolean;
            price?: string;
            sentence: string;
            /** @description what the act brings about */
            worse: components["schemas"]["Finding"][];
        };
        Rule: {
            circuit: string;
            edition: string;
            /** Format: double */
            has_a: number;
            load: string;
            /** Format: double */
            most_a: number;
            ok: string;
            rule: string;
            source: string;
        };
        RunInfo: {
            /** @description it starts with a cap: nothing draws from it */
            cap: boolean;
            /** @description its hose is carried to the machine that runs */
            carried: boolean;
            /** @description the path an edit sets to serve other machines */
            from_path: string;
            gates: components["schemas"]["GateInfo"][];
            name: string;
            path: string;
            /** @description MACHINE or MACHINE/PORT that it draws from; none where it starts with a wye, a cap or a split */
            ports: string[];
            /** @description the split it starts at */
            split: string;
        };
        SetByName: {
            station: string;
            verdict: string;
        };
        SetCount: {
            /** Format: int64 */
            asked: number;
            machines_alone?: components["schemas"]["SetByName"][];
            /** Format: int64 */
            refused: number;
            /** Format: int64 */
            warned: number;
            why?: components["schemas"]["SetReason"][];
            /** Format: int64 */
            with_bleed_gate: number;
        };
        SetReason: {
            /** Format: int64 */
            count: number;
            reason: string;
            smallest: string[][];
            verdict: string;
        };
        SetResult: {
            brings: string[];
            circuits: components["schemas"]["Held"][];
            machines: string[];
            name: string;
            verdict: string;
        };
        SetupAnswer: {
            caught_share: components["schemas"]["Span"];
            escapes_of_usual: components["schemas"]["Span"];
            machine: string;
            setup: string;
        };
        Share: {
            /** Format: double */
            cut_a: number;
            /** Format: double */
            full_a: number;
            /** Format: double */
            idle_a: number;
            name: string;
        };
        ShopLine: {
            id: string;
            name: string;
        };
        Span: {
            /** Format: double */
            high: number;
            /** Format: double */
            low: number;
            /** Format: double */
            median: number;
        };
        State: {
            arrangements: string[];
            faults: components["schemas"]["Fault"][];
            /** @description name of the file, without its folder */
            file: string;
            /**
             * Format: int64
             * @description revision the controller obeys; 0 for none
             */
            in_service: number;
            layout: components["schemas"]["Layout"];
            machines: components["schemas"]["Machine"][];
            name: string;
            redo: string;
            /** Format: int64 */
            rev: number;
            /** @description of this file and this start of the server: revisions of another run are other revisions */
            run: string;
            systems: components["schemas"]["SystemInfo"][];
            text: string;
            /** @description why history could not be kept; empty if all is well */
            trouble: string;
            /** @description what undo would undo; empty for nothing */
            undo: string;
            /** @enum {string} */
            units: "us" | "si";
        };
        Step: {
            /** @enum {string} */
            about: "airflow" | "power" | "air";
            /** @description what it cures */
            because?: string;
            breathed_of_today?: components["schemas"]["Span"];
            /** @description how much less is breathed */
            breathed_words?: string;
            code: string;
            edits: components["schemas"]["Edit"][];
            effects: components["schemas"]["Effect"][];
            free: boolean;
            price?: string;
            /** @description ports that have enough by it, and have not today */
            reaches: string[];
            sentence: string;
            /** @description what the act brings about */
            worse: components["schemas"]["Finding"][];
        };
        StepInBody: {
            id: string;
            /**
             * Format: int64
             * @description what the page holds; 0 for whatever is the latest
             */
            rev: number;
            /** @description the run that rev was read in; empty: not checked */
            run?: string;
        };
        SystemInfo: {
            gates: string[];
            kind: string;
            name: string;
            /** @description the outlet it is plugged into; empty where none is said */
            outlet: string;
            path: string;
            /** @description the path an edit sets to plug it in elsewhere; empty where the file says that it has no plug */
            plug_path: string;
            runs: components["schemas"]["RunInfo"][];
        };
        SystemProof: {
            /** Format: int64 */
            gates: number;
            not_covered: string[];
            runs: components["schemas"]["ProofResult"][];
            sets: components["schemas"]["SetCount"];
            /** Format: int64 */
            stations: number;
            system: string;
        };
        Task: {
            /** Format: double */
            a_day_s: number;
            caught_share: components["schemas"]["Span"];
            /** Format: double */
            chance_most: number;
            chore?: boolean;
            hours_assumed?: boolean;
            mask: string;
            name: string;
            of_day_share: components["schemas"]["Span"];
            shape_assumed: boolean;
            task_mean: components["schemas"]["Dust"];
            where: string;
        };
        Thrown: {
            /** Format: double */
            cost_a_week_at_20_k?: number;
            currency?: string;
            flame?: string;
            flow_from: string;
            /** Format: double */
            flow_m3s: number;
            now: boolean;
            /** Format: double */
            per_10_k_w: number;
            /** Format: double */
            per_20_k_w: number;
            /** Format: double */
            per_30_k_w: number;
            system: string;
        };
        Times: {
            /** Format: double */
            may_s?: number;
            /** Format: double */
            must_s?: number;
        };
        Together: {
            at: string;
            of_alone: components["schemas"]["Span"];
            with: string;
        };
        Wait: {
            /** Format: double */
            median_s: number;
            /** Format: double */
            nine_in_ten_s: number;
        };
        Word: {
            about: string;
            name: string;
        };
        Words: {
            machines: components["schemas"]["Word"][];
            pipes: components["schemas"]["Word"][];
            units: components["schemas"]["Word"][];
        };
    };
    responses: never;
    parameters: never;
    requestBodies: never;
    headers: never;
    pathItems: never;
}
export type $defs = Record<string, never>;
export interface operations {
    first: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["FirstAsk"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["First"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    handbook: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ChapterLine"][];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    chapter: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                name: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Chapter"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    others: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Others"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "let-in": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["LetIn"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Others"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "keep-out": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Others"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    shops: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ShopLine"][];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    state: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description the shop's name in the address */
                shop: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["State"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    edits: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description the shop's name in the address */
                shop: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["Change"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Changed"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    jobs: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description the shop's name in the address */
                shop: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Job"][];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "begin-job": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description the shop's name in the address */
                shop: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["JobAsk"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Job"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    job: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
                /** @description the shop's name in the address */
                shop: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Job"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    "end-job": {
        parameters: {
            query?: never;
            header?: never;
            path: {
                id: string;
                /** @description the shop's name in the address */
                shop: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Job"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    look: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description the shop's name in the address */
                shop: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["Ask"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Look"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    redo: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description the shop's name in the address */
                shop: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["StepInBody"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Changed"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    undo: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description the shop's name in the address */
                shop: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["StepInBody"];
            };
        };
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Changed"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
    words: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OK */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Words"];
                };
            };
            /** @description Error */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/problem+json": components["schemas"]["ErrorModel"];
                };
            };
        };
    };
}
