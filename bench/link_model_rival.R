# Rscript link_model_rival.R FOLDER: the same questions with vectorised R, written from the equations in
# docs/link-model.md, with the sum of penalties in its telescoped form (15 in 14), as ours has it.

folder <- commandArgs(TRUE)[1]
erf <- function(x) 2 * pnorm(x * sqrt(2)) - 1
opening <- function(k, w) if (w == 0) 2 * erf(k) - 1 else erf(k * (1 + w)) + erf(k * (1 - w)) - 1

margins <- function(p, metres, connections) {
  km <- metres / 1000
  loss <- p$attenuation / p$attenuation_normaliser *
    (p$attenuation_floor + (p$attenuation_per_nm * p$wavelength)^-4) * km + connections
  d1 <- p$dispersion_slope / 4 * p$wavelength * (1 - (p$zero_dispersion / p$wavelength)^4)
  d <- sqrt(d1^2 + (p$width_slope_share * p$dispersion_slope * p$rms_width)^2)
  widths <- ((p$rms_width * d / p$chromatic_bandwidth)^2 + 1 / p$modal_bandwidth^2) * km^2
  receiver <- p$receiver_rise / p$receiver_bandwidth
  rise <- sqrt((p$source_rise_ratio * p$source_rise_20_80)^2 + p$fibre_rise^2 * widths + receiver^2)
  effective <- 1 / (1 / p$rate - p$duty_cycle_distortion * 1e-6)
  jitter <- (p$deterministic_jitter - p$duty_cycle_distortion) * effective * 1e-6
  sharp <- p$eye_sharpness * 1e6 / effective / sqrt(8)
  eye <- opening(sharp / rise, jitter)
  if (p$reflection_count > 0) {
    x <- 10^(p$extinction_ratio / 10)
    both <- 10^((p$transmitter_reflectance + p$receiver_reflectance) / 20)
    eye <- eye - 2 * p$reflection_count * 10^(-loss / 10) * both *
      sqrt(2 * x * (eye * (x - 1) + x + 1)) / (x - 1)
  }
  s <- 0
  if (p$mode_partition_k > 0)
    s <- p$mode_partition_k / sqrt(2) *
      (1 - exp(-(p$mode_partition_pi * 1e-6 * effective * d1 * p$rms_width)^2 * km^2))
  noise <- p$rin_bandwidth_factor * 1e6 * 10^(p$relative_intensity_noise / 10) /
    sqrt(widths + p$rin_receiver_share / p$receiver_bandwidth^2)
  q2 <- p$quality^2
  window <- 2 * (0.5 - p$window_edge) * effective / p$rate
  wander <- q2 * p$baseline_wander^2 / opening(sharp / receiver, window)^2
  open <- eye^2 * (10^(-p$modal_noise / 5) - q2 * s^2) - q2 * (p$baseline_wander^2 + noise)
  p$transmit_power - p$sensitivity - 5 * log10(1 - wander) - loss + 5 * log10(open)
}

took <- 0
for (i in 0:2) {
  stem <- file.path(folder, i)
  table <- read.csv(paste0(stem, ".inputs.csv"))
  p <- as.list(setNames(table$value, table$name))
  lengths <- paste0(stem, ".lengths")
  count <- file.size(lengths) / 8
  metres <- readBin(lengths, "double", count)
  connections <- readBin(paste0(stem, ".connections"), "double", count)
  took <- took + system.time(answer <- margins(p, metres, connections))[["elapsed"]]
  writeBin(answer, paste0(stem, ".rival"))
}
cat(sprintf("seconds=%.6f\n", took))
