"""What a batch shows and no single reading does: the troubles of a day, told by crews, in our own numbers."""

import test_crew_troubles


class Findings(test_crew_troubles.Job):
    def multimode(self, rows, length=450):
        """One link of twelve strands of OM3, 850 and 1300 nm as typed losses."""
        schedule = self.file("s.csv", "link,strand,fibre,length_m,connections,splices,limit_db\n" + "".join(
            f"TRUNK,{strand},OM3,{length},2,0,3.2\n" for strand in rows))
        readings = self.file("r.csv", "link,strand,loss_850_dB,loss_1300_dB\n" + "".join(
            f"TRUNK,{strand},{a:.2f},{b:.2f}\n" for strand, (a, b) in rows.items()))
        return self.assess("--schedule", schedule, "--readings", readings, "--wavelengths", "850,1300")

    def usual(self):
        noise = [0, 4, -3, 2, -5, 3, 1, -2, 5, -4, -1, 2]
        return {f"{i + 1:02d}": (1.52 + n / 100, 0.66 + noise[-1 - i] / 200 + n / 100) for i, n in enumerate(noise)}

    def test_nothing_wrong_with_twelve_strands(self):
        self.assertEqual(self.kinds(self.multimode(self.usual())), [])

    def test_one_strand_worse_at_the_longer_wavelength_is_bent(self):
        rows = self.usual()
        rows["09"] = (rows["09"][0], 2.05)
        result = self.multimode(rows)
        self.assertEqual(self.kinds(result), ["bend"])
        bend = self.finding(result, "bend")
        self.assertEqual(self.strands_of(result, bend), {"09"})
        self.assertLess(bend["chance"], 0.001)
        self.assertEqual(bend["steps"][0]["action"], "dress-fibre")
        self.assertEqual([p["marked"] for p in bend["picture"]["points"]].count(True), 1)

    def test_all_strands_the_other_way_round_are_exchanged_columns(self):
        result = self.multimode({strand: (b, a) for strand, (a, b) in self.usual().items()})
        self.assertEqual(self.kinds(result), ["wavelengths-exchanged"])
        self.assertEqual(len(self.finding(result, "wavelengths-exchanged")["tests"]), 24)

    def test_two_strands_alone_a_bend_by_physics(self):
        schedule = self.file("s.csv", "strand,fibre,length_m,connections,splices,limit_db\nQ1,OS2,1400,2,2,2.2\nQ2,OS2,1400,2,2,2.2\n")
        readings = self.file("r.csv", "strand,wavelength_nm,loss_dB\nQ1,1310,0.97\nQ1,1550,2.25\nQ2,1310,0.95\nQ2,1550,0.74\n")
        result = self.assess("--schedule", schedule, "--readings", readings, "--wavelengths", "1310,1550", status=1)
        self.assertEqual(self.kinds(result), ["bend"])
        self.assertEqual(self.strands_of(result, result["findings"][0]), {"Q1"})

    def power_day(self, offsets, closing=None, strands=24):
        """Days of a job with references at two wavelengths; `offsets`: by day, how far the 1550 nm reference is off."""
        schedule = ["link,strand,fibre,length_m,connections,splices,limit_db"]
        references = ["reference,wavelength_nm,power_dbm,method,time,kind"]
        readings = ["link,strand,wavelength_nm,power_dbm,reference,time"]
        for day, offset in enumerate(offsets):
            for nm, level in ((1310, -7.1), (1550, -7.6)):
                off = offset if nm == 1550 else 0
                references.append(f"D{day},{nm},{level + off:.2f},one-cord,2026-05-{day + 4:02d} 08:00,opening")
                if closing is not None:
                    references.append(f"D{day},{nm},{level + off + closing:.2f},one-cord,2026-05-{day + 4:02d} 16:00,closing check")
            for strand in range(strands):
                n = ((strand * 7 + day * 3) % 11 - 5) / 100
                schedule.append(f"L{day},{strand + 1:02d},OS2,1200,2,1,1.9")
                for nm, level, alpha in ((1310, -7.1, 0.34), (1550, -7.6, 0.20)):
                    loss = alpha * 1.2 + 0.33 + n + ((strand * 5 + nm) % 7 - 3) / 200
                    readings.append(f"L{day},{strand + 1:02d},{nm},{level - loss:.2f},D{day},2026-05-{day + 4:02d} {9 + strand // 12:02d}:{strand % 12 * 5:02d}")
        return self.assess("--schedule", self.file("s.csv", "\n".join(schedule) + "\n"),
                           "--references", self.file("f.csv", "\n".join(references) + "\n"),
                           "--readings", self.file("r.csv", "\n".join(readings) + "\n"), "--wavelengths", "1310,1550")

    def test_days_that_agree_have_no_findings(self):
        self.assertEqual(self.kinds(self.power_day([0, 0, 0])), [])

    def test_one_day_s_reference_is_off_at_one_wavelength(self):
        result = self.power_day([0, 0, 0.2, 0])
        offset = self.finding(result, "reference-offset")
        self.assertEqual(offset["weight"], "stop")
        self.assertIn("reference D2 at 1550 nm", offset["summary"])
        self.assertAlmostEqual(offset["evidence"]["offset_db"], 0.2, delta=0.06)
        self.assertLessEqual(offset["evidence"]["low_db"], 0.2)
        self.assertGreaterEqual(offset["evidence"]["high_db"], 0.2)
        self.assertEqual(self.kinds(result, "stop"), ["reference-offset"])

    def test_a_single_day_without_closing_check_asks_for_one(self):
        result = self.power_day([0])
        self.assertEqual(self.kinds(result), ["reference-unproven"])
        asked = self.finding(result, "reference-unproven")
        self.assertEqual(asked["weight"], "note")
        self.assertIn("L0/", asked["evidence"]["check_link"])
        self.assertEqual(self.kinds(self.power_day([0], closing=0.02)), [])

    def test_a_whole_link_just_beyond_its_limit_lacks_splices_in_the_count(self):
        schedule = self.file("s.csv", "link,strand,fibre,length_m,connections,splices,reference_method\n" + "".join(
            f"H7,{i},OS2,500,2,0,one-cord\n" for i in range(1, 13)))
        readings = self.file("r.csv", "link,strand,wavelength_nm,loss_dB\n" + "".join(
            f"H7,{i},1310,{1.98 + (i * 5 % 7) / 100:.2f}\n" for i in range(1, 13)))
        result = self.assess("--schedule", schedule, "--readings", readings, *self.rule(), "--wavelengths", "1310", status=1)
        self.assertEqual(self.kinds(result, "stop")[0], "limit-count")

    def test_one_position_fails_in_every_cable(self):
        schedule, readings = ["link,strand,limit_db"], ["link,strand,wavelength_nm,direction,loss_db"]
        for cable in range(20):
            for strand in range(1, 25):
                schedule.append(f"V{cable:02d},{strand:02d},1.7")
                for way in ("AB", "BA"):
                    loss = 2.4 if strand == 24 else 0.6 + ((cable * 31 + strand * 17 + len(way + way[0]) * (way == "BA") * 5) % 23) / 100
                    readings.append(f"V{cable:02d},{strand:02d},1310,{way},{loss:.2f}")
        result = self.assess("--schedule", self.file("s.csv", "\n".join(schedule)), "--readings", self.file("r.csv", "\n".join(readings)),
                             "--directions", "both", status=1)
        shared = self.finding(result, "shared-cause")
        self.assertIn("strand position 24", shared["summary"])
        self.assertEqual(self.kinds(result, "stop"), ["shared-cause"])

    def test_levels_in_the_column_of_losses(self):
        day = self.file("a.csv", "strand,Loss (dB)\nK1,-20.42\nK2,-20.55\nK3,-20.47\n")
        result = self.assess("--schedule", day, "--readings", day, "--limit", "1.5", status=1)
        self.assertEqual(self.kinds(result), ["level-for-loss"])

    def test_feet_taken_for_metres(self):
        schedule = self.file("s.csv", "strand,length_m,limit_db\n" + "".join(f"F{i},100,2\n" for i in range(1, 5)))
        readings = self.file("r.csv", "strand,wavelength_nm,loss_db,length_m\n" + "".join(f"F{i},850,0.{60 + i},328\n" for i in range(1, 5)))
        result = self.assess("--schedule", schedule, "--readings", readings)
        self.assertEqual(self.kinds(result), ["length-units"])

    def test_repeated_until_it_passed(self):
        schedule = self.file("s.csv", "strand,limit_db\nT1,1.50\nT2,1.50\n")
        readings = self.file("r.csv", "strand,wavelength_nm,loss_db,time\nT1,850,1.54,2026-05-04 09:00\nT1,850,1.52,2026-05-04 09:02\n"
                             "T1,850,1.49,2026-05-04 09:04\nT2,850,2.90,2026-05-04 09:10\nT2,850,0.81,2026-05-04 09:30\n")
        result = self.assess("--schedule", schedule, "--readings", readings)
        selected = self.finding(result, "repeat-selection")
        self.assertEqual(self.strands_of(result, selected), {"T1"})
        self.assertEqual(selected["evidence"]["failed_before"], 2)
