# Recomputes the headline figures from the tables beside it, with R's survey package, and prints id, estimate and
# standard error as CSV. Run it in this folder:  Rscript recompute.R
#
# The design: boxes are a simple random sample without replacement within strata, the item rows of a box a simple random
# sample of its items; both stages have their finite population correction. A box that holds nothing stays in the sample
# and counts as one row of zeros; a box answered at once (item_id *) as one row that holds its totals.
# The survey package does all variances but one: where a stopped box was not counted, its count is the mean of its
# stratum's, and what that adds to the variance is worked out below (added_by_imputing).

suppressPackageStartupMessages(library(survey))
options(survey.lonely.psu = "average")

read_table <- function(name) {
  texts <- c(stratum = "character", box_id = "character", item_id = "character", carrier = "character", status = "character")
  path <- file.path("tables", paste0(name, ".csv"))
  header <- names(read.csv(path, nrows = 1, check.names = FALSE))
  read.csv(path, colClasses = texts[intersect(header, names(texts))], na.strings = "", check.names = FALSE, encoding = "UTF-8")
}

boxes <- read_table("boxes")
items <- read_table("items")
counts <- read_table("counts")

key <- function(rows) paste(rows$stratum, rows$box_id)
frame_boxes <- tapply(boxes$box_id, boxes$stratum, length)
reached <- boxes[boxes$sampled == 1 & !(boxes$status %in% "not_reached"), ]
reached$key <- key(reached)
reached$stopped <- reached$status == "stopped"
reached$items_in_box[reached$status == "out_of_scope"] <- 0
reached$imputed <- is.na(reached$items_in_box)

strata <- sort(unique(reached$stratum))
for (h in setdiff(names(frame_boxes), strata)) message("not in these figures, for no box of it was reached: stratum ", h)
by_stratum <- function(x, f) tapply(x[!reached$imputed], reached$stratum[!reached$imputed], f)
mean_items <- by_stratum(reached$items_in_box, mean)
variance_items <- by_stratum(reached$items_in_box, function(m) if (length(m) > 1) var(m) else 0)
counted <- by_stratum(reached$items_in_box, length)
reached$M <- ifelse(reached$imputed, mean_items[reached$stratum], reached$items_in_box)

# One row a drawn item, or one for a whole box: y the known value, k whether it is known, j whether it is known or may be
# taken as missing at random (never in a stopped box), all three as totals where the row is a whole box; M_rows of which
# the rows of a box are a sample.
rows_of <- function(values, ids, whole) {
  by_box <- split(values, ids)
  made <- lapply(seq_len(nrow(reached)), function(i) {
    b <- reached[i, ]
    v <- by_box[[b$key]]
    w <- if (b$key %in% names(whole)) whole[[b$key]] else NA
    if (is.na(w) && length(v) > 0 && b$M > 0) {
      known <- !is.na(v)
      data.frame(row = i, y = ifelse(known, v, 0), k = as.numeric(known), j = as.numeric(known | !b$stopped), M_rows = b$M)
    } else {
      known <- !is.na(w)
      data.frame(row = i, y = if (known) b$M * w else 0, k = b$M * known, j = b$M * (known || !b$stopped), M_rows = 1)
    }
  })
  finished(do.call(rbind, made))
}

finished <- function(rows) {
  b <- reached[rows$row, ]
  rows$stratum <- b$stratum
  rows$box <- b$key
  rows$item <- seq_len(nrow(rows))
  rows$N <- as.numeric(frame_boxes[b$stratum])
  rows$imputed <- b$imputed
  rows$stopped <- b$stopped
  rows$M <- b$M
  rows
}

# What imputed counts add to the variance of the total of z: the squares that a mean hides, and the error of that mean.
added_by_imputing <- function(rows, z) {
  added <- 0
  for (h in unique(rows$stratum)) {
    at <- rows$stratum == h & rows$imputed
    if (!any(at)) next
    n <- length(unique(rows$box[rows$stratum == h]))
    N <- frame_boxes[[h]]
    per_item <- ifelse(rows$M[at] > 0, z[at] / rows$M[at], 0)
    hidden <- variance_items[[h]] * sum(per_item^2)
    between <- if (n < N && n > 1) (N / n)^2 * (1 - n / N) * hidden * n / (n - 1) else 0
    added <- added + between + (N / n)^2 * (hidden + variance_items[[h]] * sum(per_item)^2 / counted[[h]])
  }
  added
}

made <- data.frame(id = character(), estimate = numeric(), se = numeric())
keep <- function(id, estimate, variance) {
  made[nrow(made) + 1, ] <<- list(id, as.numeric(estimate), sqrt(as.numeric(variance)))
}
design_of <- function(rows) svydesign(id = ~box + item, strata = ~stratum, fpc = ~N + M_rows, data = rows, nest = TRUE)

# A share or mean p, and the total by it. Unknown answers that may be taken as missing at random are taken as the known ones of
# their stratum, where two boxes of it that were not stopped tell; the others are taken as all that is known or so filled in. z
# and z_total are the linearised variables of both.
filled <- function(part, w) {
  h <- part$stratum
  each <- function(x) tapply(w * x, h, sum)
  Y <- each(part$y); K <- each(part$k); J <- each(part$j)
  tell <- tapply(ifelse(part$k > 0 & !part$stopped, part$box, NA), h, function(b) length(unique(na.omit(b))))
  own <- length(Y) > 1 & tell >= 2 & J > K * (1 + 1e-12)
  r <- ifelse(own, Y / K, 0); rise <- ifelse(own, J / K, 1)
  D <- sum(ifelse(own, J, K)); p <- sum(rise * Y) / D
  z <- ifelse(own[h], rise[h] * (part$y - r[h] * part$k) + (r[h] - p) * part$j, part$y - p * part$k) / D
  list(p = p, z = z, total = p * sum(J), z_total = sum(J) * z + p * part$j)
}

# The first by its share or mean, the second by its count or total, of the whole and of every stratum.
ratio_and_total <- function(prefix, rows, ratio, total) {
  all <- design_of(rows)
  for (h in c(NA, strata)) {
    at <- if (is.na(h)) rep(TRUE, nrow(rows)) else rows$stratum == h
    part <- rows[at, ]
    if (sum(part$k) == 0) next
    id <- if (is.na(h)) prefix else paste0(h, ".", prefix)
    made <- filled(part, weights(all)[at])
    variance <- function(z) vcov(svytotal(z, if (is.na(h)) all else all[at, ])) + added_by_imputing(part, z)
    if (is.na(h) || ratio == "share") keep(paste0(id, ".", ratio), made$p, variance(made$z))
    keep(paste0(id, ".", total), made$total, variance(made$z_total))
  }
}

# Items in all.
one <- finished(data.frame(row = seq_len(nrow(reached)), y = reached$M, k = reached$M, j = reached$M, M_rows = 1))
all_of_them <- design_of(one)
for (h in c(NA, strata)) {
  part <- if (is.na(h)) one else one[one$stratum == h, ]
  total <- svytotal(~y, if (is.na(h)) all_of_them else subset(all_of_them, stratum == h))
  id <- if (is.na(h)) "items.total" else paste0(h, ".items.total")
  keep(id, coef(total), vcov(total) + added_by_imputing(part, part$y))
}

# Conditions, action classes and quantities of drawn items.
is_whole <- items$item_id == "*"
ids <- key(items)
for (column in setdiff(names(items), c("stratum", "box_id", "item_id"))) {
  v <- items[[column]]
  whole <- as.list(v[is_whole])
  names(whole) <- ids[is_whole]
  rows <- rows_of(v[!is_whole], ids[!is_whole], whole)
  if (grepl("hours", column)) {
    ratio_and_total(paste0("quantity.", column), rows, "mean", "total")
  } else {
    id <- if (grepl("^action_", column)) sub("^action_", "action.", column) else paste0("condition.", column)
    ratio_and_total(id, rows, "share", "count")
  }
}

# Carriers: every item of a checked box was counted, so its rows are its totals.
said <- read.csv(file.path("tables", "figures.csv"), check.names = FALSE, encoding = "UTF-8")
carriers <- sub("^carrier\\.(.*)\\.share$", "\\1", grep("^carrier\\..*\\.share$", said$id[said$basis == "headline"], value = TRUE))
counts <- counts[counts$checked == 1, ]
for (carrier in carriers) {
  of_it <- counts[counts$carrier == carrier, ]
  n <- tapply(of_it$items, key(of_it), sum)
  is_checked <- reached$status == "checked"
  y <- ifelse(is_checked & reached$key %in% names(n), n[reached$key], 0)
  k <- ifelse(is_checked, reached$M, 0)
  j <- ifelse(reached$stopped, 0, reached$M)
  rows <- finished(data.frame(row = seq_len(nrow(reached)), y = as.numeric(y), k = k, j = j, M_rows = 1))
  ratio_and_total(paste0("carrier.", carrier), rows, "share", "count")
}

made$estimate <- format(made$estimate, digits = 17, trim = TRUE)
made$se <- format(made$se, digits = 17, trim = TRUE)
write.csv(made, row.names = FALSE, quote = FALSE)
