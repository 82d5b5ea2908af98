CREATE TABLE `audit_marks` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`job_id` text NOT NULL,
	`subject_kind` text NOT NULL,
	`subject_id` text NOT NULL,
	`mark` text NOT NULL,
	`note` text,
	`marked_by` text NOT NULL,
	`marked_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`marked_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `audit_marks_job_index` ON `audit_marks` (`company_id`,`job_id`);--> statement-breakpoint
CREATE TABLE `audit_questions` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`job_id` text NOT NULL,
	`subject_kind` text NOT NULL,
	`subject_id` text NOT NULL,
	`entry_id` text,
	`words` text NOT NULL,
	`asked_by` text NOT NULL,
	`asked_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`asked_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `audit_questions_job_index` ON `audit_questions` (`company_id`,`job_id`);--> statement-breakpoint
CREATE INDEX `audit_questions_subject_index` ON `audit_questions` (`company_id`,`subject_id`);--> statement-breakpoint
CREATE TABLE `audit_replies` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`question_id` text NOT NULL,
	`kind` text NOT NULL,
	`words` text,
	`said_by` text NOT NULL,
	`said_at` integer NOT NULL,
	`device_at` integer,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`question_id`) REFERENCES `audit_questions`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`said_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `audit_replies_question_index` ON `audit_replies` (`company_id`,`question_id`);--> statement-breakpoint
-- Marks, questions and answers are facts: appended, never edited.
CREATE TRIGGER `audit_marks_no_update` BEFORE UPDATE ON `audit_marks` BEGIN SELECT RAISE(ABORT, 'append-only: audit_marks'); END;--> statement-breakpoint
CREATE TRIGGER `audit_marks_no_delete` BEFORE DELETE ON `audit_marks` BEGIN SELECT RAISE(ABORT, 'append-only: audit_marks'); END;--> statement-breakpoint
CREATE TRIGGER `audit_questions_no_update` BEFORE UPDATE ON `audit_questions` BEGIN SELECT RAISE(ABORT, 'append-only: audit_questions'); END;--> statement-breakpoint
CREATE TRIGGER `audit_questions_no_delete` BEFORE DELETE ON `audit_questions` BEGIN SELECT RAISE(ABORT, 'append-only: audit_questions'); END;--> statement-breakpoint
CREATE TRIGGER `audit_replies_no_update` BEFORE UPDATE ON `audit_replies` BEGIN SELECT RAISE(ABORT, 'append-only: audit_replies'); END;--> statement-breakpoint
CREATE TRIGGER `audit_replies_no_delete` BEFORE DELETE ON `audit_replies` BEGIN SELECT RAISE(ABORT, 'append-only: audit_replies'); END;
