"""Each trouble gives its own finding, and no other of its weight."""

import test_crew_troubles


class NothingElse(test_crew_troubles.Job):
    def told(self, result):
        """(weight, kind) of every finding, the graver first."""
        return [(f["weight"], f["kind"]) for f in result["findings"]]

    def one_file(self, text, *arguments, status=None):
        day = self.file("day.csv", text)
        return self.assess("--schedule", day, "--readings", day, *arguments, status=status)

    def test_stale_reference(self):
        reference = self.file("f.csv", "time,wavelength_nm,method,power_dBm\n06:40,850,one-cord,-20.15\n06:41,1300,one-cord,-20.80\n")
        result = self.one_file("strand,fibre,length_m,connections,splices,power_850_dBm,power_1300_dBm\n"
                               "Q-1,OM4,90,2,0,-19.90,-20.60\nQ-2,OM4,90,2,0,-19.85,-20.58\nQ-3,OM4,90,2,0,-20.02,-20.65\n",
                               "--references", reference, *self.rule(), "--wavelengths", "850,1300", status=1)
        self.assertEqual(self.told(result), [("stop", "reference-disproved")] * 2)

    def test_drift_in_a_shift(self):
        day = self.file("r.csv", "time,kind,strand,wavelength_nm,power_dBm\n07:30,reference,,1310,-8.05\n08:00,reading,B1,1310,-9.20\n"
                        "10:30,reading,B2,1310,-9.62\n11:50,reference-check,,1310,-8.33\n")
        result = self.assess("--schedule", self.file("s.csv", "strand,limit_db\nB1,1.50\nB2,1.50\n"), "--readings", day, "--wavelengths", "1310")
        self.assertEqual(self.told(result), [("stop", "reference-drift")])

    def test_meter_at_another_wavelength(self):
        reference = self.file("f.csv", "source_nm,meter_setting_nm,power_dBm\n1310,1310,-7.50\n1550,1310,-8.10\n")
        readings = self.file("r.csv", "strand,source_nm,meter_setting_nm,power_dBm\nL1,1310,1310,-8.40\nL1,1550,1550,-8.95\n")
        result = self.assess("--schedule", self.file("s.csv", "strand,limit_db\nL1,1.50\n"), "--readings", readings, "--references", reference)
        self.assertEqual(self.told(result), [("stop", "meter-setting"), ("note", "reference-unproven")])

    def test_one_bent_strand_with_and_without_its_cable_known(self):
        rows = "".join(f"Z-{i:02d},OM3,400,{1.4 + i % 5 / 50:.2f},{0.6 + i % 5 / 60:.2f}\n" for i in range(1, 12))
        text = "strand,fibre,length_m,loss_850_dB,loss_1300_dB\n" + rows + "Z-12,OM3,400,1.44,2.13\n"
        for extra in (("--limit", "2.1"), ("--columns", "connections:=2; splices:=0", *self.rule())):
            result = self.one_file(text, *extra, "--wavelengths", "850,1300", status=1)
            self.assertEqual(self.told(result), [("look", "bend")])

    def test_crossed_and_dark(self):
        schedule = self.file("s.csv", "cable,strand,near_port,far_port\n" + "".join(f"C7,{i},A{i},B{i}\n" for i in range(1, 7)))
        readings = self.file("r.csv", "strand,wavelength_nm,loss_dB\n" + "".join(f"{i},1310,0.{70 + i}\n" for i in range(1, 6)))
        light = self.file("c.csv", "near_port,light_seen_at\nA1,B2\nA2,B1\nA3,B3\nA4,B4\nA5,B5\nA6,no light\n")
        result = self.assess("--schedule", schedule, "--readings", readings, "--continuity", light, "--limit", "1.5", "--wavelengths", "1310")
        self.assertEqual(self.told(result), [("stop", "light-crossed"), ("stop", "light-lost")])

    def test_names_spelt_otherwise(self):
        schedule = self.file("s.csv", "id\nWX-01-07\nWX-01-08\nWX-01-10\nWX-01-01\n")
        readings = self.file("r.csv", "id,wavelength_nm,loss_dB\nWX-1-7,850,0.61\nwx-01-08,850,0.58\nWX-01-1O,850,0.66\nWX-01-I,850,0.63\n")
        result = self.assess("--schedule", schedule, "--readings", readings, "--limit", "1.5", "--wavelengths", "850")
        self.assertEqual(self.told(result), [("look", "names")])

    def test_missing_and_extra(self):
        schedule = self.file("s.csv", "strand\n" + "".join(f"T-{i:02d}\n" for i in range(1, 21)))
        rows = [f"T-{i:02d},{nm},{way},{0.7 + i * 7 % 5 / 100 - (0.1 if nm == 1550 else 0):.2f}\n"
                for i in range(1, 22) if i != 14 for nm in (1310, 1550) for way in ("AB", "BA")]
        rows.remove("T-09,1550,BA,0.63\n")
        readings = self.file("r.csv", "strand,wavelength_nm,direction,loss_db\n" + "".join(rows))
        result = self.assess("--schedule", schedule, "--readings", readings, "--limit", "1.5", "--wavelengths", "1310,1550", "--directions", "both")
        self.assertEqual([told for told in self.told(result) if told[0] != "note"], [("look", "unscheduled")])
        # The rows above say the same from both ends, to the last digit: that is noted too.
        self.assertEqual({kind for weight, kind in self.told(result) if weight == "note"}, {"missing-tests", "readings-copied"})
        self.assertIn("both directions", self.finding(result, "readings-copied")["summary"])

    def test_readings_without_trouble(self):
        for text, extra in (
                ("strand,loss_dB,wavelength_nm\nP1,1.21,1310\nP2,1.43,1310\nP3,1.50,1310\n", ("--limit", "1.5")),
                ("\ufeffStrang;Länge m;Dämpfung 850 nm;Dämpfung 1300 nm\r\nG-01;1.120,5;3,42;1,61\r\nG-02;640,0;2,20;1,05\r\n",
                 ("--limit", "5", "--wavelengths", "850,1300")),
                ("Cable CB-9,,,,,\nStrand,850 nm,,1300 nm,,Length\n,A-B (dB),B-A (dB),A-B (dB),B-A (dB),(ft)\n"
                 "1,0.88,0.91,0.57,0.58,328\n2,0.97,0.93,0.62,0.61,328\n", ("--limit", "1.5", "--wavelengths", "850,1300", "--directions", "both")),
                ("link,length_m,fibre,wavelength_nm,mated_pairs,splices,loss_dB\nH5,600,OS2,1550,2,2,2.20\nH6,600,OS2,1550,3,2,2.20\n", self.rule()),
                ("link,fibre,length_m,connections,splices,configuration,wavelength_nm,loss_dB\nD1,OM4,90,4,0,channel,850,2.2\n"
                 "D2,OM4,90,2,0,link,850,2.2\nD3,OM4,70,2,0,link,850,1.3\n", self.rule())):
            self.assertEqual(self.told(self.one_file(text, *extra)), [], text)

    def test_signs(self):
        self.assertEqual(self.told(self.one_file("strand,Attenuation (dB)\nK1,-0.42\nK2,-0.55\nK3,-0.47\n", "--limit", "1.5")), [("stop", "loss-sign")])
        self.assertEqual(self.told(self.one_file("strand,Loss (dB)\nK1,0.42\nK2,-0.55\nK3,0.47\n", "--limit", "1.5")), [("look", "gain")])

    def test_a_position_that_fails_in_every_cable(self):
        noise = lambda cable, strand, nm: (cable * 37 + strand * strand * 11 + cable * strand * 5 + nm) % 23 / 300
        rows = "".join(f"K{cable:02d},{strand:02d},{nm},{2.5 if strand == 24 else 0.5 + noise(cable, strand, nm):.3f}\n"
                       for cable in range(12) for strand in range(1, 25) for nm in (850, 1300))
        schedule = self.file("s.csv", "link,strand\n" + "".join(f"K{c:02d},{s:02d}\n" for c in range(12) for s in range(1, 25)))
        result = self.assess("--schedule", schedule, "--readings", self.file("r.csv", "link,strand,wavelength_nm,loss_db\n" + rows),
                             "--limit", "1.8", "--wavelengths", "850,1300")
        self.assertEqual(self.told(result), [("stop", "shared-cause")])

    def test_twelve_readings_above_what_is_usual_do_not_prove_a_reference_wrong(self):
        rows = "".join(f"D,{i:02d},OM4,80,2,0,850,{1.45 + i * 5 % 7 / 50:.2f}\n" for i in range(1, 13))
        result = self.one_file("link,strand,fibre,length_m,connections,splices,wavelength_nm,loss_dB\n" + rows, "--limit", "2.5")
        self.assertEqual(self.told(result), [("look", "level-unusual")])
        self.assertIn("nothing here tells which", self.finding(result, "level-unusual")["summary"])
